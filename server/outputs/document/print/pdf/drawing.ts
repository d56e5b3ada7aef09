/** Draws a rendered SVG on a page, as lines, curves and text. */
import { type Content, fillOp, matrixOp, number, opacityOp, strokeOp, textOp } from './canvas.ts';
import { type Matrix, readTransform } from './matrix.ts';
import { circlePath, pathOps, rectanglePath } from './path.ts';
import { type Style, styleOf } from './style.ts';
import { type Element, readSvg } from './svg.ts';

/** Its upper left corner at x, y (pt, y up), `scale` pt to the px. */
export function drawSvg(on: Content, svg: string, x: number, y: number, scale: number): void {
  const root = readSvg(svg);
  const clips = new Map(clipsIn(root));
  const place: Matrix = [scale, 0, 0, -scale, x, y];
  on.ops.push('q', matrixOp(place));
  for (const child of root.children) drawn(on, child, [root], styleOf(root, [], {}), clips);
  on.ops.push('Q');
}

function* clipsIn(element: Element): Generator<[string, Element]> {
  if (element.name === 'clipPath') yield [element.attributes.id, element];
  for (const child of element.children) if (typeof child !== 'string') yield* clipsIn(child);
}

/** Elements that are nothing to see. */
const unseen = ['title', 'desc', 'clipPath', 'style', 'defs'];

function drawn(
  on: Content,
  element: Element | string,
  outer: readonly Element[],
  within: Style,
  clips: ReadonlyMap<string, Element>,
): void {
  if (typeof element === 'string' || unseen.includes(element.name)) return;
  const style = styleOf(element, outer, within);
  on.ops.push('q');
  if (element.attributes.transform) on.ops.push(matrixOp(readTransform(element.attributes.transform)));
  const clip = clips.get(/^url\(#(.+)\)$/.exec(style['clip-path'] ?? '')?.[1] ?? '');
  if (clip) on.ops.push(...clip.children.flatMap((child) => (typeof child === 'string' ? [] : clipOps(child))));
  if (style.opacity !== undefined) on.ops.push(opacityOp(on, Number(style.opacity)));
  if (element.name === 'text') text(on, element, style);
  else if (element.name === 'g' || element.name === 'svg') {
    for (const child of element.children) drawn(on, child, [...outer, element], style, clips);
  } else shape(on, shapeOf(element), style);
  on.ops.push('Q');
}

/** A clip path's own shapes may be turned and shifted: that is undone after them, or it would hold for all that follows. */
function clipOps(element: Element): string[] {
  const d = pathOps(shapeOf(element));
  const moved = element.attributes.transform;
  if (!moved) return [d, 'W n'];
  const [a, b, c, e, x, y] = readTransform(moved);
  const size = a * e - b * c;
  const back: Matrix = [e / size, -b / size, -c / size, a / size, (c * y - e * x) / size, (b * x - a * y) / size];
  return [matrixOp([a, b, c, e, x, y]), d, 'W n', matrixOp(back)];
}

/** What an element draws, as a path. */
function shapeOf({ name, attributes }: Element): string {
  const of = (key: string) => Number(attributes[key] ?? 0);
  switch (name) {
    case 'path':
      return attributes.d ?? '';
    case 'rect':
      return rectanglePath(of('x'), of('y'), of('width'), of('height'));
    case 'circle':
      return circlePath(of('cx'), of('cy'), of('r'));
    default:
      throw new Error(`no drawing uses <${name}>`);
  }
}

const paints = (colour: string | undefined): colour is string => colour?.startsWith('#') ?? false;

function shape(on: Content, d: string, style: Style): void {
  const { fill = '#000000', stroke } = style;
  if (d === '' || (!paints(fill) && !paints(stroke))) return;
  if (paints(fill)) on.ops.push(fillOp(fill));
  if (style['fill-opacity'] !== undefined) on.ops.push(opacityOp(on, Number(style['fill-opacity'])));
  if (paints(stroke)) {
    const dashes = style['stroke-dasharray']?.split(/[\s,]+/).join(' ');
    on.ops.push(strokeOp(stroke), `${number(Number(style['stroke-width'] ?? 1))} w`);
    if (dashes) on.ops.push(`[${dashes}] 0 d`);
    if (style['stroke-linejoin'] === 'round') on.ops.push('1 j');
  }
  on.ops.push(pathOps(d), paints(fill) ? (paints(stroke) ? 'B' : 'f') : 'S');
}

function text(on: Content, { attributes, children }: Element, style: Style): void {
  const said = children.filter((child) => typeof child === 'string').join('');
  const size = Number.parseFloat(style['font-size'] ?? '12');
  const font = style['font-weight'] === 'bold' ? on.fonts.bold : on.fonts.plain;
  const anchor = { middle: 0.5, end: 1 }[style['text-anchor'] ?? ''] ?? 0;
  const x = Number(attributes.x ?? 0) - anchor * size * font.width(said);
  const y = Number(attributes.y ?? 0);
  if (said === '') return;
  if (paints(style.stroke)) {
    on.ops.push(strokeOp(style.stroke), `${number(Number(style['stroke-width'] ?? 1))} w`, '1 j');
    on.ops.push(textOp(said, font, size, x, y, -1, 'stroke'));
  }
  on.ops.push(fillOp(paints(style.fill) ? style.fill : '#000000'), textOp(said, font, size, x, y, -1));
}
