// A small reader of XML without namespaces: enough for MusicXML that the program writes and MEI that verovio writes.
// A node is { name, attributes, children, text }.
const entities = { lt: '<', gt: '>', amp: '&', quot: '"', apos: "'" };
const unescaped = (text) =>
  text.replace(/&(#x?[0-9a-fA-F]+|[a-z]+);/g, (whole, code) =>
    code[0] !== '#' ? entities[code] ?? whole
      : String.fromCodePoint(code[1] === 'x' ? parseInt(code.slice(2), 16) : parseInt(code.slice(1), 10)));

export function readXml(text) {
  const root = { name: '', attributes: {}, children: [], text: '' };
  const open = [root];
  for (const [, tag, words] of text.matchAll(/<([^>]+)>|([^<]+)/g)) {
    const top = open.at(-1);
    if (words !== undefined) {
      top.text += unescaped(words);
    } else if (tag[0] === '/') {
      open.pop();
    } else if (tag[0] !== '?' && tag[0] !== '!') {
      const node = { name: tag.match(/^[^\s/]+/)[0], attributes: {}, children: [], text: '' };
      for (const [, name, value] of tag.matchAll(/([\w:.-]+)="([^"]*)"/g)) node.attributes[name] = unescaped(value);
      top.children.push(node);
      if (!tag.endsWith('/')) open.push(node);
    }
  }
  if (open.length !== 1) throw new Error('the XML is not closed');
  return root;
}

export const child = (node, name) => node?.children.find((each) => each.name === name);
export const children = (node, name) => node?.children.filter((each) => each.name === name) ?? [];
export const textOf = (node, ...names) => names.reduce(child, node)?.text.trim() ?? '';
/// All nodes of that name below one, in order.
export const below = (node, name) =>
  node.children.flatMap((each) => [...(each.name === name ? [each] : []), ...below(each, name)]);
/// The text of a node and all below it.
export const wholeText = (node) => node.text + node.children.map(wholeText).join('');
