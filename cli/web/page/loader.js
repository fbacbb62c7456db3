// Unpacks the style sheet and the script, which the policy of the page knows by their hashes.
{
  const page = /** @type {any} */ (globalThis);
  page.page_source = `<!DOCTYPE html>\n${document.documentElement.outerHTML}`;

  // The bytes of a block in base 85: five characters for four bytes, from "(" to "|", with "}" for "<"; see text_85 in
  // cli/web/page_html.cpp.
  /** @param {string} id */
  page.bytes_of = (id) => {
    const text = document.getElementById(id)?.textContent ?? "";
    const bytes = new Uint8Array(Math.floor((text.length * 4) / 5));
    /** @param {number} at */
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
