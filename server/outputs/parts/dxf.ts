/**
 * The outlines of a part as a DXF drawing (AC1021) in millimetres, seen from the front: closed polylines with bulges,
 * circles as circles, each height and the engraving on a layer of its own.
 */
import type { DxfWriter } from '@tarikjabiri/dxf';
import { boxOf, edgeBetween } from '../../reckon/parts/loop.ts';
import type { Loop, PrintedPart } from '../../reckon/parts/part.ts';
import { rounded } from '../rounded.ts';
import { outlinesOf } from './outlines.ts';

/** Millimetres of `$INSUNITS`; colours of layers: black or white, blue, green, magenta, cyan in turn, red for engraving. */
const millimetres = 4;
const layerColours = [7, 5, 3, 6, 4];
const red = 1;

export async function dxfOf(part: PrintedPart): Promise<string> {
  const { DxfWriter } = await import('@tarikjabiri/dxf');
  const drawing = new DxfWriter();
  const outlines = outlinesOf(part);
  const box = boxOf(outlines.flatMap(({ regions }) => regions.map(({ outer }) => outer)));
  drawing.setUnits(millimetres);
  drawing.setVariable('$MEASUREMENT', { 70: 1 });
  drawing.setVariable('$LASTSAVEDBY', { 1: 'Lobewright' });
  drawing.setVariable('$PROJECTNAME', { 1: oneLine(part.name) });
  drawing.setVariable('$EXTMIN', { 10: rounded(box.left), 20: rounded(box.bottom), 30: 0 });
  drawing.setVariable('$EXTMAX', { 10: rounded(box.right), 20: rounded(box.top), 30: 0 });
  for (const [i, { title, regions, engraved }] of outlines.entries()) {
    const layer = drawing.addLayer(
      layerName(title),
      engraved ? red : layerColours[i % layerColours.length],
      'Continuous',
    );
    for (const { outer, holes } of regions) for (const loop of [outer, ...holes]) addLoop(drawing, loop, layer.name);
  }
  return `${drawing.stringify()}\n`;
}

/** Every line is a value of its own, so that a name must not end one. */
const oneLine = (name: string): string =>
  name
    .replace(/[\p{Cc}\p{Cs}\u2028\u2029]/gu, ' ')
    .trim()
    .slice(0, 255);

/** Layers' names hold no commas: "cam z 2 to 6 mm". */
const layerName = (title: string): string => title.replaceAll(',', '');

function addLoop(drawing: DxfWriter, loop: Loop, layerName: string): void {
  const [first, second] = loop;
  // Two halves.
  if (loop.length === 2 && loop.every(({ bulge }) => Math.abs(Math.abs(bulge) - 1) < 1e-9)) {
    const { arc } = edgeBetween(first, second);
    if (arc) {
      const { centre, radius } = arc;
      drawing.addCircle({ x: rounded(centre.x), y: rounded(centre.y), z: 0 }, rounded(radius), { layerName });
      return;
    }
  }
  const vertices = loop.map(({ x, y, bulge }) => ({ point: { x: rounded(x), y: rounded(y) }, bulge: bulging(bulge) }));
  const closed = 1;
  drawing.addLWPolyline(vertices, { flags: closed, layerName });
}

/** Bulges to a billionth; what is less than a millionth is straight. */
const bulging = (bulge: number): number => (Math.abs(bulge) < 1e-6 ? 0 : Math.round(bulge * 1e9) / 1e9);
