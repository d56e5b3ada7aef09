/** SVG as the drawings are rendered, read back into elements: tags, quoted attributes, text, and nothing else of XML. */

export interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly (Element | string)[];
}

const entities: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };

const unescaped = (text: string): string =>
  text.replace(/&(?:#x([0-9a-f]+)|#(\d+)|(\w+));/gi, (whole, hex, decimal, name) => {
    if (hex) return String.fromCodePoint(Number.parseInt(hex, 16));
    if (decimal) return String.fromCodePoint(Number(decimal));
    return entities[name] ?? whole;
  });

/** The one element that a rendered drawing is. */
export function readSvg(text: string): Element {
  const root: { name: string; attributes: Record<string, string>; children: (Element | string)[] } = {
    name: '',
    attributes: {},
    children: [],
  };
  const open = [root];
  for (const [, closing, name, given, empty, words] of text.matchAll(
    /<(\/?)([\w-]+)((?:\s[^<>"]+="[^"]*")*)\s*(\/?)>|([^<]+)/g,
  )) {
    const inner = open[open.length - 1];
    if (words !== undefined) {
      inner.children.push(unescaped(words));
    } else if (closing) {
      open.pop();
    } else {
      const attributes = Object.fromEntries(
        [...given.matchAll(/\s([\w:-]+)="([^"]*)"/g)].map(([, key, value]) => [key, unescaped(value)]),
      );
      const element = { name, attributes, children: [] };
      inner.children.push(element);
      if (!empty) open.push(element);
    }
  }
  const [svg] = root.children.filter((child) => typeof child !== 'string');
  return svg;
}
