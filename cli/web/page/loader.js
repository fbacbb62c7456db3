// Unpacks the style sheet and the script, which the policy of the page knows by their hashes.
{
  const page = /** @type {any} */ (globalThis);
  page.page_source = `<!DOCTYPE html>\n${document.documentElement.outerHTML}`;

  // What a character of base 85 stands for: from "(" to "|", with "}" for "<"; see text_85 in cli/web/page_html.cpp.
  const digits = new Uint8Array(128);
  for (let code = 40; code < 125; ++code) digits[code] = code - 40;
  digits[125] = 20;

  // The bytes of a block in base 85: five characters for four bytes; what is missing in the last five is as if "|" stood
  // there. Written to be fast even before the browser compiles it: most of a megabyte goes through it at the start.
  /** @param {string} id */
  page.bytes_of = (id) => {
    const text = document.getElementById(id)?.textContent ?? "";
    const codes = new TextEncoder().encode(text.padEnd(Math.ceil(text.length / 5) * 5, "|"));
    const bytes = new Uint8Array((codes.length / 5) * 4);
    const view = new DataView(bytes.buffer);
    for (let from = 0, to = 0; from < codes.length; from += 5, to += 4) {
      const high = (digits[codes[from]] * 85 + digits[codes[from + 1]]) * 85 + digits[codes[from + 2]];
      view.setUint32(to, (high * 85 + digits[codes[from + 3]]) * 85 + digits[codes[from + 4]]);
    }
    return bytes.subarray(0, Math.floor((text.length * 4) / 5));
  };

  // The same, unpacked.
  /** @param {string} id */
  page.unpacked = (id) => {
    const { readable, writable } = new DecompressionStream("gzip");
    const writer = writable.getWriter();
    writer.write(page.bytes_of(id));
    writer.close();
    return new Response(readable);
  };

  // A module of the program.
  /** @param {string} id */
  page.module_of = async (id) => WebAssembly.compile(await page.unpacked(id).arrayBuffer());

  // A worker that runs modules.
  page.new_worker = () => new Worker(URL.createObjectURL(new Blob([document.getElementById("worker")?.textContent ?? ""], { type: "text/javascript" })));

  // A module that holds nothing but one fixed-width SIMD instruction (WebAssembly core specification 2.0): i32x4.splat of a
  // constant, in a function without a name. Browsers that unpack gzip and lack it are of 2020 and 2021, or on processors
  // from before 2009: there the plain text stays, and says what is needed.
  const simd_probe = new Uint8Array([
    0, 97, 115, 109, 1, 0, 0, 0, 1, 5, 1, 96, 0, 1, 123, 3, 2, 1, 0, 10, 8, 1, 6, 0, 65, 0, 253, 17, 11,
  ]);

  (async () => {
    if (!("DecompressionStream" in globalThis) || !WebAssembly.validate(simd_probe)) return;
    // While the script is unpacked and runs, the program is compiled and its worker starts.
    page.first_worker = page.new_worker();
    page.program = Promise.all(["music", "sound"].map(page.module_of));
    page.program.catch(() => {}); // the engine tells
    for (const kind of ["style", "script"]) {
      const element = document.createElement(kind);
      element.textContent = await page.unpacked(`page-${kind}`).text();
      document.head.append(element);
    }
  })();
}
