import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, it } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { slabsOf } from '../../../../server/outputs/parts/faces.ts';
import { svgOf } from '../../../../server/outputs/parts/svg.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { areaOf } from '../../../../server/reckon/parts/loop.ts';
import { partsOf } from '../../../../server/reckon/parts/parts.ts';
import { example } from '../../../designs.ts';
import { barOnStem, camOnFlange, keyedDisc } from './made.ts';

/** What one group is called, and the area of its paths: their points along every subpath, taken as a polygon. */
function groupsOf(svg: string): { title: string; area: number; arcs: number }[] {
  return [...svg.matchAll(/<g fill=[^>]*>\n<title>([^<]*)<\/title>\n([\s\S]*?)<\/g>/g)].map(([, title, inside]) => {
    const curves = [...inside.matchAll(/ d="([^"]*)"/g)].flatMap(([, d]) => d.split(/(?=M)/));
    return {
      title,
      area: curves.reduce((sum, d) => sum + areaInside(d), 0),
      arcs: curves.join('').match(/A/g)?.length ?? 0,
    };
  });
}

/** Counter-clockwise as the part is seen, mm², from points no farther apart than 0.01 mm. */
function areaInside(d: string): number {
  const points = new svgPathProperties(d).getParts().flatMap((part) => {
    // Of a small arc, too, a thousand chords: the area between them and it is less than two millionths of the disc's.
    const count = Math.max(1000, Math.ceil(part.length / 0.01));
    return Array.from({ length: count }, (_, i) => part.getPointAtLength((i * part.length) / count));
  });
  return points.reduce((sum, { x, y }, i) => {
    const next = points[(i + 1) % points.length];
    return sum - (x * next.y - next.x * y) / 2;
  }, 0);
}

describe('an SVG of outlines', () => {
  it('has the area of each slab, as a reader of paths finds it', () => {
    const [berth] = example('berth-sign');
    const cam = partsOf(berth, reckon(berth)).parts.find(({ name }) => name === 'camE')!;
    for (const part of [keyedDisc, camOnFlange, barOnStem, cam]) {
      const groups = groupsOf(svgOf(part));
      const slabs = [...slabsOf(part.prisms), ...slabsOf(part.engraved)];
      expect(groups).toHaveLength(slabs.length);
      for (const [i, { area }] of groups.entries())
        expect(Math.abs(area / areaOf(slabs[i].regions) - 1), `${part.name} ${i}`).toBeLessThan(1e-5);
    }
  });

  it('has arcs where the part has', () =>
    expect(groupsOf(svgOf(camOnFlange)).map(({ title, arcs }) => [title, arcs])).toEqual([
      // Flange 2 and bore 2; base, tip and bore 2 again.
      ['cam, z 0 to 2 mm', 4],
      ['cam, z 2 to 6 mm', 5],
      ['engraved, z 5.6 to 6 mm', 0],
    ]));

  it('is in millimetres, as large as the part and a margin, and not mirrored', () => {
    const svg = svgOf(barOnStem);
    expect(svg).toContain('width="34mm" height="45mm" viewBox="-17 -8 34 45"');
    // The stem reaches down to y = −35, which is below in the drawing.
    expect(svg).toMatch(/M-3 35L3 35/);
  });

  it('is well-formed whatever the name, and shows it as it is', async () => {
    const name = `</title><script>alert("&amp;")</script> ]]> 'é' Ж 🜚\u0000`;
    const svg = svgOf({ ...keyedDisc, name });
    expect(svg).not.toContain('<script');
    const { valid, normalized } = await validateXML({
      xml: [{ fileName: 'part.svg', contents: svg }],
      normalization: 'c14n',
    });
    expect(valid).toBe(true);
    expect(normalized).toContain(
      `<title>&lt;/title&gt;&lt;script&gt;alert("&amp;amp;")&lt;/script&gt; ]]&gt; 'é' Ж 🜚\ufffd</title>`,
    );
  });

  it('is the same to the byte each time', () => expect(svgOf(camOnFlange)).toBe(svgOf(camOnFlange)));
});
