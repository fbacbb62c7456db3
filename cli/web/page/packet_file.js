// A packet made in the lesson page: this page's own file with a packet's data in place of the lesson's.

/**
 * @param {string} source the page's HTML as it was opened
 * @param {import("./types.js").PageData} data
 * @param {string} title
 */
export function packet_html(source, data, title) {
  const json = JSON.stringify(data).replaceAll("<", "\\u003c");
  const open = source.indexOf('id="data"');
  const from = source.indexOf(">", open) + 1;
  const to = source.indexOf("</" + "script>", from);
  const escaped = title.replaceAll("&", "&amp;").replaceAll("<", "&lt;");
  const whole = source.slice(0, from) + json + source.slice(to);
  return whole.replace(/<title>[^<]*<\/title>/, () => `<title>${escaped}</title>`);
}

/** A file name that every system takes. @param {string} name */
export const file_name = (name) => `${name.replace(/[\\/:*?"<>|\u0000-\u001f]/g, " ").replace(/\s+/g, " ").trim().slice(0, 80) || "packet"}.html`;
