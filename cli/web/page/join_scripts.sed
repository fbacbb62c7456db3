1i "use strict";
# Joins the modules of a script: their imports and exports are names of one script, and comments stay in the sources.
/^import /d
s/^export //
/^ *\/\/ /d
/^ *\/\*\*.*\*\/ *$/d
/^ *\/\*\* *$/d
/^ *\* /d
/^ *\*\/ *$/d
/^ *\*$/d
/^"use strict";$/d
s/\/\*\* @type {[^*]*} \*\/ *//g
s/^ *//
/^$/d
