import { describe, expect, it } from 'vitest';
import { fileNames } from '../../../../server/outputs/parts/file-names.ts';
import { listCsv, listMarkdown, partsList } from '../../../../server/outputs/parts/list.ts';
import { reckon } from '../../../../server/reckon/figures.ts';
import { reversed } from '../../../../server/reckon/parts/loop.ts';
import type { Loop } from '../../../../server/reckon/parts/part.ts';
import { partsOf } from '../../../../server/reckon/parts/parts.ts';
import { example } from '../../../designs.ts';
import { part } from './made.ts';

describe('names of files', () => {
  it('stay in their folder, carry no markup, and differ where case does not count', () => {
    const names = fileNames(['../../etc', 'a/b', 'A-b', '<b>&"', 'con', '', '.', 'camA', 'CAMA', 'Ärmel', 'a\u0000b']);
    for (const name of names) expect(name).toMatch(/^[\p{L}\p{N}_][\p{L}\p{N}_-]*$/u);
    expect(new Set(names.map((name) => name.toLowerCase())).size).toBe(names.length);
    expect(names.slice(0, 5)).toEqual(['etc', 'a-b', 'A-b-2', 'b', 'part-con']);
  });
});

describe('the list of parts', () => {
  const [berth] = example('berth-sign');
  const parts = partsOf(berth, reckon(berth));
  const list = partsList(berth, parts);

  it('has volume, mass and length of filament', () => {
    const spacer = list.printed.find(({ name }) => name === 'lower spacer 4')!;
    // by hand: a ring of 10.7 mm round a bore of 9.1 mm with a flat at 7.3 mm, 4.2 mm high; pla of 1.24 g/cm³
    const half = Math.acos(7.3 / 9.1);
    const bore = Math.PI * 9.1 ** 2 - 9.1 ** 2 * (half - Math.sin(2 * half) / 2);
    const volume = 4.2 * (Math.PI * 10.7 ** 2 - bore);
    expect(spacer.volume).toBeCloseTo(volume, 3);
    expect(spacer.mass).toBeCloseTo((volume / 1000) * 1.24, 5);
    expect(spacer.filament).toBeCloseTo(volume / (Math.PI * 0.875 ** 2) / 1000, 5);
  });

  it('names look-alikes and mirror twins, and what tells them apart', () => {
    expect(list.printed.find(({ name }) => name === 'e')!.alike.map(({ name }) => name)).toEqual(['f']);
    expect(listCsv(list)).toMatch(/\r\ne,bar,1,.*like f: its engraved name/);
    const left = { ...parts.parts.find(({ name }) => name === 'camA')!, name: 'left' };
    const over = (loop: Loop): Loop => reversed(loop.map(({ x, y, bulge }) => ({ x, y: -y, bulge: -bulge })));
    const right = {
      ...left,
      name: 'right',
      prisms: left.prisms.map((prism) => ({
        ...prism,
        regions: prism.regions.map(({ outer, holes }) => ({ outer: over(outer), holes: holes.map(over) })),
      })),
    };
    expect(partsList(berth, { ...parts, parts: [left, right] }).printed.map(({ alike }) => alike)).toEqual([
      [{ name: 'right', how: 'mirrored' }],
      [{ name: 'left', how: 'mirrored' }],
    ]);
  });

  it('tells in which file each part lies, and what of it, where they take more than one bed', () => {
    const [cam, other] = parts.parts;
    const four = { ...cam, seats: Array.from({ length: 4 }, () => cam.seats[0]) };
    const lie = (file: string, ...laid: (typeof cam)[]) => ({
      file,
      process: 'filament',
      size: { width: 220, depth: 210.5 },
      laid: laid.map((part) => ({ part, corner: { x: 5, y: 5 }, turn: 0 })),
    });
    const beds = [lie('Sign-1.3mf', four, four, four, other), lie('Sign-2.3mf', four)];
    const two = partsList(berth, { ...parts, parts: [four, other] }, beds);
    expect(two.printed.map(({ files }) => files)).toEqual([
      [
        { file: 'Sign-1.3mf', count: 3 },
        { file: 'Sign-2.3mf', count: 1 },
      ],
      [{ file: 'Sign-1.3mf', count: 1 }],
    ]);
    expect(listCsv(two)).toContain(',"3 in Sign-1.3mf, 1 in Sign-2.3mf"\r\n');
    expect(listMarkdown('x', two)).toContain('- Sign-2.3mf: a bed of 220 by 210.5 mm, filament');
  });

  it('escapes what a spreadsheet or markdown would take for its own', () => {
    const odd = partsList(berth, { ...parts, parts: [part('=1+1', 'cam', []), part('a|b "c"', 'cam', [])] });
    expect(listCsv(odd)).toContain("\r\n'=1+1,");
    expect(listCsv(odd)).toContain('\r\n"a|b ""c""",');
    expect(listMarkdown('<b>', odd)).toContain('# Parts of \\<b\\>');
    expect(listMarkdown('x', odd)).toContain('| a\\|b "c" |');
  });
});
