/** The drawings' style sheet for elements that no browser draws: plain class selectors, the later and the narrower win. */
import { fileStyle } from '../../../chart/themes.ts';
import type { Element } from './svg.ts';

export type Style = Readonly<Record<string, string>>;

interface Rule {
  /** From the outermost to the element itself; each a list of classes, or a tag. */
  readonly chain: readonly (readonly string[])[];
  readonly style: Style;
  readonly weight: number;
}

/** Rules of the light theme: paper is white. */
const rules: readonly Rule[] = [...fileStyle('light').matchAll(/([^{}]+)\{([^{}]*)\}/g)].flatMap(
  ([, selectors, body]) => {
    const style = Object.fromEntries(
      [...body.matchAll(/([\w-]+)\s*:\s*([^;]+)/g)].map(([, key, value]) => [key, value.trim()]),
    );
    return selectors.split(',').map((selector) => {
      const chain = selector
        .trim()
        .split(/\s+/)
        .map((compound) => compound.match(/\.?[\w-]+/g) ?? []);
      return { chain, style, weight: chain.flat().filter((each) => each.startsWith('.')).length };
    });
  },
);

const classesOf = ({ attributes }: Element): readonly string[] => (attributes.class ?? '').split(/\s+/);

const matches = (element: Element, compound: readonly string[]): boolean =>
  compound.every((each) => (each.startsWith('.') ? classesOf(element).includes(each.slice(1)) : element.name === each));

function applies({ chain }: Rule, element: Element, outer: readonly Element[]): boolean {
  if (!matches(element, chain[chain.length - 1])) return false;
  let left = chain.length - 2;
  for (let i = outer.length - 1; i >= 0 && left >= 0; i--) if (matches(outer[i], chain[left])) left -= 1;
  return left < 0;
}

/** What SVG lets attributes say. */
const presentational = ['fill', 'stroke', 'stroke-width', 'fill-opacity', 'opacity', 'clip-path'] as const;

/** What elements take over from those they lie in. */
const inherited = [
  'fill',
  'stroke',
  'stroke-width',
  'stroke-dasharray',
  'stroke-linejoin',
  'fill-opacity',
  'font-size',
  'font-weight',
  'text-anchor',
] as const;

/** The style of an element within others, which have theirs already. */
export function styleOf(element: Element, outer: readonly Element[], within: Style): Style {
  const style: Record<string, string> = {};
  for (const key of inherited) if (within[key] !== undefined) style[key] = within[key];
  for (const key of presentational) if (element.attributes[key] !== undefined) style[key] = element.attributes[key];
  const own = rules.filter((rule) => applies(rule, element, outer)).sort((a, b) => a.weight - b.weight);
  for (const rule of own) Object.assign(style, rule.style);
  return style;
}
