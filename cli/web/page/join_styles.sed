# Joins the style sheets, without comments and indents.
/^ *\/\*.*\*\/ *$/d
s/^ *//
