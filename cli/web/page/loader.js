// Unpacks the style sheet and the script, which the policy of the page knows by their hashes.
globalThis.page_source = `<!DOCTYPE html>\n${document.documentElement.outerHTML}`;

// The bytes of a block in base 85: five characters for four bytes, from "(" to "|", with "}" for "<"; see text_85 in
// cli/web/page_html.cpp.
globalThis.bytes_of = (id) => {
  const text = document.getElementById(id).textContent;
  const bytes = new Uint8Array(Math.floor((text.length * 4) / 5));
  const value = (at) => {
    const code = at < text.length ? text.charCodeAt(at) : 124;
    return code === 125 ? 20 : code - 40;
  };
  for (let from = 0, to = 0; from < text.length; from += 5, to += 4) {
    let number = 0;
    for (let i = 0; i < 5; ++i) number = number * 85 + value(from + i);
    for (let i = 0; i < 4 && to + i < bytes.length; ++i) bytes[to + i] = number >>> (24 - 8 * i);
  }
  return bytes;
};

// The same, unpacked.
globalThis.unpacked = (id) => new Response(new Blob([globalThis.bytes_of(id)]).stream().pipeThrough(new DecompressionStream("gzip")));

(async () => {
  for (const kind of ["style", "script"]) {
    const element = document.createElement(kind);
    element.textContent = await globalThis.unpacked(`page-${kind}`).text();
    document.head.append(element);
  }
})();
