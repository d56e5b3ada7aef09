import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../../../language/mechanism.ts';
import { threeMfOf } from '../../../../server/outputs/parts/3mf.ts';
import { laidOut } from '../../../../server/outputs/parts/beds.ts';
import { slabsOf } from '../../../../server/outputs/parts/faces.ts';
import { meshOf } from '../../../../server/outputs/parts/mesh.ts';
import { roleColours } from '../../../../server/outputs/parts/roles.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { region } from '../../../../server/reckon/parts/loop.ts';
import type { PrintedPart } from '../../../../server/reckon/parts/part.ts';
import { partsOf } from '../../../../server/reckon/parts/parts.ts';
import { example } from '../../../designs.ts';
import { filament, given } from '../../../mechanisms.ts';
import { offences, placedBy, type ReadModel, readModel, unpacked } from './3mf-reader.ts';
import { volumeOf } from './drawn.ts';
import { barOnStem, camOnFlange, keyedDisc, part, prism, rectangle } from './made.ts';
import { checked } from './surface-check.ts';

const processes = (size: number) =>
  new Map(
    [...numeral, ...byHand].map(({ process }) => [process, { ...filament, bed: given({ width: size, depth: size }) }]),
  );
/** A file for each bed. */
const filesOf = (parts: readonly PrintedPart[], about?: Mechanism['about'], size = 400): Uint8Array[] =>
  laidOut(parts, processes(size)).map(({ laid }) => threeMfOf(laid, meshOf, about));
const fileOf = (parts: readonly PrintedPart[], about?: Mechanism['about']): Uint8Array => {
  const files = filesOf(parts, about);
  expect(files).toHaveLength(1);
  return files[0];
};
const modelIn = async (bytes: Uint8Array): Promise<string> => (await unpacked(bytes)).get('3D/3dmodel.model')!.text;
const byHand = [keyedDisc, camOnFlange, barOnStem];

const [berth] = example('berth-sign');
const numeral = partsOf(berth, reckon(berth)).parts;

/** Every item's box on the plate. */
const boxesOf = ({ items }: ReadModel) =>
  items.map(({ object, transform }) => {
    const corners = object.vertices.map((at) => placedBy(transform, at));
    return checked(object.triangles.map((corner) => corner.map((i) => corners[i]))).box;
  });

describe('a 3MF file', () => {
  it('is a package of a model, with its type and the relation to it', async () => {
    const files = await unpacked(fileOf(byHand));
    expect([...files.keys()]).toEqual(['[Content_Types].xml', '_rels/.rels', '3D/3dmodel.model']);
    expect(files.get('[Content_Types].xml')!.text).toContain(
      'Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"',
    );
    expect(files.get('_rels/.rels')!.text).toMatch(
      /Type="http:\/\/schemas\.microsoft\.com\/3dmanufacturing\/2013\/01\/3dmodel" Target="\/3D\/3dmodel\.model"/,
    );
  });

  it('keeps to the published core schema', async () => {
    expect(await offences(await modelIn(fileOf(byHand, berth.about)))).toEqual([]);
    expect(await offences(await modelIn(threeMfOf([], () => expect.fail())))).toHaveLength(1);
  });

  it('would be told if it did not', async () => {
    const model = await modelIn(fileOf([keyedDisc]));
    const wrong: readonly (readonly [string | RegExp, string])[] = [
      [' unit="millimeter"', ' unit="mm"'],
      [/<vertex x="[^"]*"/, '<vertex'],
      ['<build>', '<build><item objectid="99"/>'],
      [/transform="[^ ]* /, 'transform="'],
      ['displaycolor="#', 'displaycolor="'],
      ['name="Application"', 'name="strange:Application"'],
      ['<resources>', '<resources><object id="2"/>'],
    ];
    for (const [from, to] of wrong) {
      expect(model).toMatch(from);
      expect(await offences(model.replace(from, to)), to).not.toEqual([]);
    }
  });

  it('holds every part of a numeral closed, with the volume of its prisms, by name and colour', async () => {
    const { objects, items, metadata } = readModel(await modelIn(fileOf(numeral, berth.about)));
    expect(objects.map(({ name }) => name)).toEqual(numeral.map(({ name }) => name));
    expect(items.map(({ object }) => object.name)).toEqual(numeral.map(({ name }) => name));
    expect(metadata.Title).toBe(berth.about.title);
    for (const [i, { name, material, colour, vertices, triangles }] of objects.entries()) {
      const part = numeral[i];
      expect(material).toBe(`${part.kind}, ${part.material}`);
      expect(colour).toBe(roleColours[part.kind].toUpperCase());
      const { openEdges, volume } = checked(triangles.map((corners) => corners.map((corner) => vertices[corner])));
      expect(openEdges, name).toBe(0);
      // Each corner once, so that a reader that goes by their numbers finds it closed too.
      expect(new Set(vertices.map((at) => at.join())).size, name).toBe(vertices.length);
      // Chords lie up to 10 µm inside rims and outside bores, of walls of no more than 4000 mm².
      expect(Math.abs(volume - volumeOf(slabsOf(part.prisms, part.engraved))), name).toBeLessThan(20);
      expect(Math.abs(volume / volumeOf(slabsOf(part.prisms, part.engraved)) - 1), name).toBeLessThan(3e-3);
    }
  });

  it('lays parts on as many beds as they take, each within its bed with a gap round it, bed side down', async () => {
    const files = filesOf(numeral, {}, 150);
    expect(files.length).toBeGreaterThan(1);
    const models = await Promise.all(files.map(async (bytes) => readModel(await modelIn(bytes))));
    for (const model of models) {
      const boxes = boxesOf(model);
      for (const [i, [left, bottom, low, right, top]] of boxes.entries()) {
        expect(low).toBeCloseTo(0, 4);
        expect(Math.min(left, bottom)).toBeGreaterThan(4.999);
        expect(Math.max(right, top)).toBeLessThan(145.001);
        for (const other of boxes.slice(i + 1)) {
          const gaps = [left - other[3], other[0] - right, bottom - other[4], other[1] - top];
          expect(Math.max(...gaps)).toBeGreaterThan(4.999);
        }
      }
    }
    const built = models.flatMap(({ items }) => items.map(({ object }) => object.name));
    expect(built.sort()).toEqual(numeral.map(({ name }) => name).sort());
    // What is not built there is not in the file.
    for (const { objects, items } of models) expect(objects).toHaveLength(items.length);
    for (const bytes of files) expect(await offences(await modelIn(bytes))).toEqual([]);
  });

  it('lays a part that is too long askew, and one that is larger than its bed by itself', async () => {
    const slat = part('slat', 'bar', [prism(0, 3, region(rectangle(60, 4)))], { bed: 'front' });
    // A stem beside its middle takes no more room askew.
    const tee = part(
      'tee',
      'bar',
      [prism(0, 3, region(rectangle(4, 60))), prism(3, 5, region(rectangle(16, 4, 6, 0)))],
      {
        bed: 'front',
      },
    );
    const slab = part('slab', 'plate', [prism(0, 3, region(rectangle(60, 40)))]);
    const models = await Promise.all(filesOf([slat, keyedDisc, slab, tee], {}, 50).map(modelIn));
    const byName = new Map(
      models.map(readModel).map((model) => [model.items.map(({ object }) => object.name).join(), model]),
    );
    expect([...byName.keys()].sort()).toEqual(['disc', 'slab', 'slat', 'tee']);
    const [[left, bottom, low, right, top]] = boxesOf(byName.get('slat')!);
    // By hand: at 45° it takes (60 + 4)/√2 each way, and lies in the middle of 50 mm.
    const long = 64 / Math.SQRT2;
    for (const [at, wanted] of [
      [left, 25 - long / 2],
      [bottom, 25 - long / 2],
      [low, 0],
      [right, 25 + long / 2],
      [top, 25 + long / 2],
    ])
      expect(Math.abs(at - wanted)).toBeLessThan(0.02);
    const [fromX, fromY, , toX, toY] = boxesOf(byName.get('tee')!)[0];
    expect(Math.min(fromX, fromY, 50 - toX, 50 - toY)).toBeGreaterThan(2);
    expect(boxesOf(byName.get('slab')!)[0].map(Math.round)).toEqual([0, 5, 0, 60, 45, 3]);
    for (const model of models) expect(await offences(model)).toEqual([]);
  });

  it('turns a part over whose front lies on the bed, and a long one along the plate', async () => {
    const [box] = boxesOf(readModel(await modelIn(fileOf([barOnStem]))));
    // The bar is 30 wide before it is turned over and a quarter round, 41 long and 8 high.
    expect(box.map((at) => Math.round(at * 1000) / 1000)).toEqual([5, 5, 0, 46, 35, 8]);
    const { objects, items } = readModel(await modelIn(fileOf([barOnStem])));
    // The face of the bar, 30 mm by 8 mm at z = 8 in its own frame, is what lies down: its area is that at z = 0.
    const down = objects[0].triangles
      .map((corners) => corners.map((i) => placedBy(items[0].transform, objects[0].vertices[i])))
      .filter((corners) => corners.every(([, , z]) => Math.abs(z) < 1e-6));
    const area = down.reduce(
      (sum, [a, b, c]) => sum + Math.abs((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])) / 2,
      0,
    );
    expect(area).toBeCloseTo(240, 3);
    expect(checked(down).volume).toBeCloseTo(0, 9);
  });

  it('builds a part as often as it is built in', async () => {
    const four = { ...keyedDisc, seats: Array.from({ length: 4 }, () => keyedDisc.seats[0]) };
    const { objects, items } = readModel(await modelIn(fileOf([four, camOnFlange])));
    expect(objects).toHaveLength(2);
    expect(items.map(({ object }) => object.name)).toEqual(['disc', 'disc', 'disc', 'disc', 'cam "A"']);
  });

  it('is the same to the byte each time, in every zone, and carries no date of its making', async () => {
    const zone = process.env.TZ;
    const files = ['UTC', 'Pacific/Auckland', 'America/St_Johns'].map((name) => {
      process.env.TZ = name;
      return Buffer.from(fileOf(byHand, berth.about)).toString('base64');
    });
    process.env.TZ = zone;
    expect(new Set(files).size).toBe(1);
    // 1 January 1980, midnight: 0 years, month 1, day 1 (APPNOTE 4.4.6).
    for (const { made } of (await unpacked(Buffer.from(files[0], 'base64'))).values())
      expect(made).toBe(0x21 * 2 ** 16);
  });

  it('takes any name as it stands: markup, quotes, entities, letters of all alphabets', async () => {
    const name = `<object id="1"/> & "quoted" 'so' &amp; ]]> é Ж 🜚 ../a\\b`;
    const about = { title: name, author: name, licence: name, revision: name };
    const model = await modelIn(fileOf([{ ...keyedDisc, name, material: name }], about));
    expect(await offences(model)).toEqual([]);
    const { objects, metadata } = readModel(model);
    expect(objects.map((one) => one.name)).toEqual([name]);
    expect(metadata).toMatchObject({ Title: name, Designer: name, LicenseTerms: name, 'lobewright:Revision': name });
    const control = await modelIn(fileOf([{ ...keyedDisc, name: 'a\u0000b\u0008c\ud800' }]));
    expect(await offences(control)).toEqual([]);
    expect(readModel(control).objects[0].name).toBe('a\ufffdb\ufffdc\ufffd');
  });
});
