/**
 * The outlines of a part as an SVG drawing in millimetres, seen from the front: arcs as arcs, each height and the
 * engraving a group of its own, from back to front.
 */
import { boxOf } from '../../reckon/parts/loop.ts';
import type { Loop, PrintedPart, Region } from '../../reckon/parts/part.ts';
import { escaped, lawful } from '../markup.ts';
import { rounded } from '../rounded.ts';
import { outlinesOf } from './outlines.ts';
import { roleColours } from './roles.ts';

/** Round the part, mm. */
const margin = 2;

/** The part's y points up; that of the drawing, down. */
export function svgOf(part: PrintedPart): string {
  const outlines = outlinesOf(part);
  const box = boxOf(outlines.flatMap(({ regions }) => regions.map(({ outer }) => outer)));
  const [left, top] = [box.left - margin, -box.top - margin];
  const [width, height] = [box.right - box.left + 2 * margin, box.top - box.bottom + 2 * margin];
  const groups = outlines.map(({ title, regions, engraved }) => {
    const look = engraved
      ? 'fill="#ffffff" fill-opacity="0.6"'
      : `fill="${roleColours[part.kind]}" fill-opacity="0.25"`;
    return `<g ${look}>\n<title>${escaped(title)}</title>\n${regions.map(pathOf).join('\n')}\n</g>`;
  });
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<svg xmlns="http://www.w3.org/2000/svg" width="${rounded(width)}mm" height="${rounded(height)}mm" viewBox="${[left, top, width, height].map(rounded).join(' ')}">`,
    `<title>${escaped(lawful(part.name))}</title>`,
    '<g stroke="#1f2a33" stroke-width="0.15" stroke-linejoin="round" fill-rule="evenodd">',
    ...groups,
    '</g>',
    '</svg>',
    '',
  ].join('\n');
}

const pathOf = ({ outer, holes }: Region): string => `<path d="${[outer, ...holes].map(curve).join('')}"/>`;

function curve(loop: Loop): string {
  const steps = loop.map((from, i) => {
    const to = loop[(i + 1) % loop.length];
    const end = `${rounded(to.x)} ${rounded(-to.y)}`;
    if (from.bulge === 0) return `L${end}`;
    const chord = Math.hypot(to.x - from.x, to.y - from.y);
    const radius = rounded((chord * (1 + from.bulge * from.bulge)) / (4 * Math.abs(from.bulge)));
    // Counter-clockwise in the part is counter-clockwise in the drawing, which its flag calls 0.
    return `A${radius} ${radius} 0 ${Math.abs(from.bulge) > 1 ? 1 : 0} ${from.bulge > 0 ? 0 : 1} ${end}`;
  });
  return `M${rounded(loop[0].x)} ${rounded(-loop[0].y)}${steps.join('')}Z`;
}
