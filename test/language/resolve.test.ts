import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { filament, pla } from '../../language/defaults.ts';
import type { Given, Mechanism } from '../../language/mechanism.ts';
import { isUnclear } from '../../language/mechanism.ts';
import { resolveDocument } from '../../language/resolve.ts';
import { mechanismOf, read, resolve, told, uri, whereIs } from './reading.ts';

const deg = Math.PI / 180;

/** Values without where they come from. */
function bare(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(bare);
  if (typeof value !== 'object' || value === null) return value;
  if ('value' in value && 'by' in value) return bare(value.value);
  return Object.fromEntries(
    Object.entries(value)
      .filter(([key, each]) => each !== undefined && !['place', 'whole', 'unclear', 'process', 'kind'].includes(key))
      .map(([key, each]) => [key, bare(each)]),
  );
}

const codes = (problems: readonly { code: string }[]) => problems.map(({ code }) => code);

describe('every statement', () => {
  const { mechanism: m, problems } = mechanismOf(
    `about { title "Gauge"   revision "B"   author "the lock"   licence "CC0" }
     let r = 20 mm
     made with mill
     assembled greased
     glyphs tally
     count 0 1 "-" one times 2
     runs either
     shaft axle { at 1 mm, -2 mm   turns clockwise   leads   key hex   bearing 8 mm clearance 0.3 mm }
     shaft drum { at 3 cm, 0 mm   made with filament }
     key hex { shape hexagon   across 9 mm   clearance 0.05 mm }
     key teeth { shape splined   teeth 12   master 3   outer 12 mm   inner 10 mm }
     key dee { shape flat   outer 10 mm   inner 7 mm }
     gear wheel on axle { module 1 mm   teeth 30   width 5 mm   mark 0 deg, 90 deg   pressure angle 25 deg   shift 0.5   level 4 }
     gear pinion on drum { module 1 mm   teeth 20   width 5 mm }
     mesh wheel pinion { backlash 0.1 mm }
     segment a {
       azimuth 90 deg   offset -1 mm   stroke 3 mm   nose 1.5 mm   guide 14 mm   overhang 5 mm   stem 4 mm   fit 0.15 mm
       bar 44 mm by 6 mm at 0 mm, 66 mm tilt 5 deg plane 2 ends mitred   post 5 mm by 6 mm at 7 mm, 8 mm
       hook at 1 mm, 2 mm   window 40 mm by 5 mm at 0 mm, 66 mm   shown lowered   drag 0.4 N   mass 3 g   made with filament
     }
     segment b { follower flat }
     segment n { follower pivoted at 5 mm, 6 mm arm 30 mm }
     cam camA on axle level 1 drives a b { base r   law constant velocity blended 20 %   travel 25 deg   thickness 2 mm
       flange 1 mm to radius 30 mm }
     cam camB on drum level 2 drives n { rise 20 deg late 2 deg   fall 24 deg late -3 deg   raised at 0 "-" }
     cam camC on drum { lobe from 10 deg to 50 deg   lobe from 60 deg to 80 deg flank 5 deg   lobe from 90 deg to 100 deg flanks 6 deg, 7 deg }
     spring coils { returns a b   rate 0.08 N/mm   preload 0.9 N }
     spring wound { returns n   coil extension   wire 0.5 mm   mean 4 mm   turns 12   free 30 mm   modulus 206 GPa   preload 1 N }
     post peg { at 5 mm, 6 mm   radius 2 mm }
     band loop1 { around peg, a, inside peg   section 2 mm by 1 mm   loop 120 mm   shear 0.4 MPa }
     ratchet click on axle { teeth 8   play 0.5 deg   hold 60 Nmm   arm 20 mm by 1.2 mm by 5 mm   deflection 1.5 mm   made with mill }
     push knob turns axle { arm 14 mm   start -17 deg   stroke 8.2 mm   return coils }
     limits { pressure angle 32 deg   push 20 N   return 2   shown 95 %   hidden 5 % }
     accept steep-cam on camA "it is greased"
     accept long-travel "so be it"
     bought 4 "M3 x 10 countersunk screw"`,
    `glyphs tally { segments a b   0 = a   1 = b   "-" = blank   one = a b }
     process mill { nozzle 0.6 mm   layer 0.3 mm   spread 0.05 mm   undersize 0.15 mm   clearance 0.1 mm   wall 1 mm   drag 0.2 N   bed 300 mm by 20 cm   material brass }
     material brass { modulus 100 GPa   poisson 0.34   density 8.5 g/cm3   strain 0.2 %   friction 0.35   greased 0.15   pessimistic 0.5 }`,
  );

  it('is understood', () => {
    expect(problems).toEqual([]);
    expect(m.unclear).toEqual([]);
    for (const kind of [
      'shafts',
      'keys',
      'gears',
      'segments',
      'cams',
      'springs',
      'bands',
      'ratchets',
      'pushes',
    ] as const)
      for (const part of m[kind]) expect(part.unclear, part.name).toEqual([]);
  });

  it('about the mechanism', () => {
    expect(m.name).toBe('M');
    expect(m.about).toEqual({ title: 'Gauge', revision: 'B', author: 'the lock', licence: 'CC0' });
    expect(bare(m.assembled)).toBe('greased');
    expect(bare(m.runs)).toBe('either');
    expect(m.count?.symbols.map(({ text }) => text)).toEqual(['0', '1', '-', 'one']);
    expect(m.count?.times).toBe(2);
    expect(m.glyphs?.value.segments).toEqual(['a', 'b']);
    expect(m.glyphs?.value.entries.map(({ symbol, lit }) => [symbol, lit])).toEqual([
      ['0', ['a']],
      ['1', ['b']],
      ['-', []],
      ['one', ['a', 'b']],
    ]);
    expect(bare(m.limits)).toEqual({ pressureAngle: 32 * deg, push: 20, return: 2, shown: 0.95, hidden: 0.05 });
    expect(m.acceptances.map(({ code, on, reason }) => [code, on, reason])).toEqual([
      ['steep-cam', 'camA', 'it is greased'],
      ['long-travel', undefined, 'so be it'],
    ]);
    expect(m.bought.map(({ number, what }) => [number, what])).toEqual([[4, 'M3 x 10 countersunk screw']]);
  });

  it('about process and material', () => {
    expect(bare(m.process)).toEqual({
      name: 'mill',
      nozzle: 0.6,
      layer: 0.3,
      spread: 0.05,
      undersize: 0.15,
      bed: { width: 300, depth: 200 },
      clearance: 0.1,
      wall: 1,
      drag: 0.2,
      material: {
        name: 'brass',
        modulus: 100_000,
        poisson: 0.34,
        density: 8.5e-3,
        strain: 0.002,
        friction: 0.35,
        greased: 0.15,
        pessimistic: 0.5,
      },
    });
    expect(m.shafts.map(({ process }) => process.name)).toEqual(['mill', 'filament']);
    expect(m.segments.map(({ process }) => process.name)).toEqual(['filament', 'mill', 'mill']);
  });

  it('about shafts, keys, gears and meshes', () => {
    expect(bare(m.shafts)).toEqual([
      {
        name: 'axle',
        at: { x: 1, y: -2 },
        turns: 'clockwise',
        leads: true,
        key: { name: 'hex' },
        bearing: 8,
        bearingClearance: 0.3,
      },
      { name: 'drum', at: { x: 30, y: 0 }, bearingClearance: 0.2 },
    ]);
    expect(bare(m.keys)).toEqual([
      { name: 'hex', shape: 'hexagon', across: 9, clearance: 0.05 },
      { name: 'teeth', shape: 'splined', teeth: 12, master: 3, outer: 12, inner: 10, clearance: 0.125 },
      { name: 'dee', shape: 'flat', outer: 10, inner: 7, clearance: 0.125 },
    ]);
    expect(bare(m.gears)).toEqual([
      {
        name: 'wheel',
        shaft: { name: 'axle' },
        module: 1,
        teeth: 30,
        width: 5,
        marks: [0, Math.PI / 2],
        pressureAngle: 25 * deg,
        shift: 0.5,
        level: 4,
      },
      {
        name: 'pinion',
        shaft: { name: 'drum' },
        module: 1,
        teeth: 20,
        width: 5,
        marks: [],
        pressureAngle: 20 * deg,
        shift: 0,
      },
    ]);
    expect(bare(m.meshes)).toEqual([
      { name: 'wheel–pinion', gears: [{ name: 'wheel' }, { name: 'pinion' }], backlash: 0.1 },
    ]);
  });

  it('about segments', () => {
    expect(bare(m.segments[0])).toEqual({
      name: 'a',
      azimuth: Math.PI / 2,
      offset: -1,
      stroke: 3,
      nose: 1.5,
      guide: 14,
      overhang: 5,
      stem: 4,
      fit: 0.15,
      bar: { width: 44, height: 6, at: { x: 0, y: 66 }, tilt: 5 * deg, plane: 2, ends: 'mitred' },
      post: { width: 5, height: 6, at: { x: 7, y: 8 } },
      hook: { x: 1, y: 2 },
      window: { width: 40, height: 5, at: { x: 0, y: 66 } },
      shown: 'lowered',
      follower: {},
      drag: 0.4,
      mass: 3,
    });
    expect(m.segments[1]!.follower.value).toEqual({ kind: 'flat' });
    expect(m.segments[2]!.follower.value).toEqual({ kind: 'pivoted', at: { x: 5, y: 6 }, arm: 30 });
  });

  it('about cams', () => {
    const [a, b, c] = m.cams;
    expect(bare(a)).toEqual({
      name: 'camA',
      shaft: { name: 'axle' },
      level: 1,
      segments: [{ name: 'a' }, { name: 'b' }],
      base: 20,
      law: { name: 'constant velocity', blended: 0.2 },
      travel: 25 * deg,
      thickness: 2,
      flange: 1,
      flangeRadius: 30,
      lobes: { by: 'count' },
    });
    expect(bare(b!.rise)).toEqual({ width: 20 * deg, late: 2 * deg });
    expect(bare(b!.fall)).toEqual({ width: 24 * deg, late: -3 * deg });
    expect(bare(b!.lobes)).toEqual({ by: 'symbols', symbols: [{ text: '0' }, { text: '-' }] });
    expect(bare(c!.lobes)).toEqual({
      by: 'angles',
      lobes: [
        { from: 10 * deg, to: 50 * deg },
        { from: 60 * deg, to: 80 * deg, before: 5 * deg, after: 5 * deg },
        { from: 90 * deg, to: 100 * deg, before: 6 * deg, after: 7 * deg },
      ],
    });
  });

  it('about what returns and what steps', () => {
    expect(bare(m.springs)).toEqual([
      { name: 'coils', returns: [{ name: 'a' }, { name: 'b' }], rate: 0.08, preload: 0.9 },
      {
        name: 'wound',
        returns: [{ name: 'n' }],
        coil: 'extension',
        wire: 0.5,
        mean: 4,
        turns: 12,
        free: 30,
        modulus: 206_000,
        preload: 1,
      },
    ]);
    expect(bare(m.posts)).toEqual([{ name: 'peg', at: { x: 5, y: 6 }, radius: 2 }]);
    expect(bare(m.bands)).toEqual([
      {
        name: 'loop1',
        around: [
          { name: 'peg', inside: false },
          { name: 'a', inside: false },
          { name: 'peg', inside: true },
        ],
        section: { width: 2, height: 1 },
        loop: 120,
        shear: 0.4,
      },
    ]);
    expect(bare(m.ratchets)).toEqual([
      {
        name: 'click',
        shaft: { name: 'axle' },
        teeth: 8,
        play: 0.5 * deg,
        hold: 60,
        arm: { length: 20, thickness: 1.2, width: 5 },
        deflection: 1.5,
      },
    ]);
    expect(bare(m.pushes)).toEqual([
      { name: 'knob', shaft: { name: 'axle' }, arm: 14, start: -17 * deg, stroke: 8.2, return: { name: 'coils' } },
    ]);
  });

  it.each([
    ['constant velocity', { name: 'constant velocity' }],
    ['constant velocity blended 50 %', { name: 'constant velocity', blended: 0.5 }],
    ['constant acceleration', { name: 'constant acceleration' }],
    ['simple harmonic', { name: 'simple harmonic' }],
    ['cycloidal', { name: 'cycloidal' }],
    ['polynomial 3-4-5', { name: 'polynomial 3-4-5' }],
    ['polynomial 4-5-6-7', { name: 'polynomial 4-5-6-7' }],
    ['modified trapezoid', { name: 'modified trapezoid' }],
    ['modified sine', { name: 'modified sine' }],
  ])('law %s', (written, law) => {
    const { mechanism, problems } = mechanismOf(`cam c { law ${written} }`);
    expect(problems).toEqual([]);
    expect(mechanism.cams[0]!.law.value).toEqual(law);
  });
});

describe('what is not said', () => {
  const { mechanism: m, problems } = mechanismOf(
    `shaft axle
     key dee { shape flat   outer 10 mm }
     gear g on axle
     gear h on axle
     mesh g h
     segment a { stroke 3 mm   nose 1.5 mm   bar 44 mm by 6 mm at 0 mm, 66 mm }
     cam c drives a { base 20 mm }
     cam d`,
  );
  const from = <T>(given: Given<T> | undefined) => given && [given.value, given.by, given.because];
  const [a] = m.segments;
  const [c, d] = m.cams;

  it('is no problem for the text', () => {
    expect(problems).toEqual([]);
  });

  // The table of defaults of the language reference.
  it.each<[string, unknown, unknown]>([
    ['law', from(c!.law), [{ name: 'simple harmonic' }, 'default', 'the law where none is given']],
    ['travel', c!.travel, undefined],
    ['thickness', from(c!.thickness), [3, 'default', 'the thickness where none is given']],
    ['flange', from(c!.flange), [expect.closeTo(1.2), 'default', 'six layers of filament']],
    ['flange radius', from(c!.flangeRadius), [24.5, 'default', 'base + stroke + nose']],
    ['flange radius without a base', d!.flangeRadius, undefined],
    ['base', d!.base, undefined],
    ['fit', from(a!.fit), [0.2, 'process', 'the clearance of filament']],
    ['drag', from(a!.drag), [0.3, 'process', 'the drag of filament']],
    ['backlash', from(m.meshes[0]!.backlash), [0.2, 'process', 'the clearance of filament']],
    ['bearing clearance', from(m.shafts[0]!.bearingClearance), [0.2, 'process', 'the clearance of filament']],
    ['key clearance', from(m.keys[0]!.clearance), [0.1, 'process', 'the spread of filament']],
    ['inner', from(m.keys[0]!.inner), [8, 'default', '0.8 × outer']],
    ['overhang', from(a!.overhang), [4.5, 'default', 'stroke + nose']],
    ['stem', from(a!.stem), [3, 'default', 'twice the nose']],
    ['offset', from(a!.offset), [0, 'default', 'the slide points at its shaft']],
    ['post', from(a!.post), [{ width: 44, height: 6, at: { x: 0, y: 66 } }, 'default', 'the bar’s outline']],
    ['shown', from(a!.shown)?.slice(0, 2), ['raised', 'default']],
    ['follower', from(a!.follower)?.slice(0, 2), [{ kind: 'round' }, 'default']],
    ['pressure angle of a gear', from(m.gears[0]!.pressureAngle)?.[0], 20 * deg],
    ['shift', from(m.gears[0]!.shift)?.[0], 0],
    ['assembled', from(m.assembled)?.slice(0, 2), ['dry', 'default']],
    ['runs', from(m.runs)?.slice(0, 2), ['forward', 'default']],
    ['limit of the pressure angle', from(m.limits.pressureAngle)?.[0], 30 * deg],
    ['limit of the return', from(m.limits.return)?.[0], 1.5],
    ['shown, of limits', from(m.limits.shown)?.[0], 0.9],
    ['hidden, of limits', from(m.limits.hidden)?.[0], 0.1],
    ['limit of the push', m.limits.push, undefined],
    ['process', m.process.name, 'filament'],
    ['lobes', c!.lobes, { by: 'count' }],
  ])('%s', (_, found, wanted) => {
    expect(found).toEqual(wanted);
  });

  it('is noted once for each part, in the maker’s units, and never silent', () => {
    const noted = new Map(m.defaults.map(({ of, value }) => [of, value]));
    expect(noted.size).toBe(m.defaults.length);
    expect(Object.fromEntries(noted)).toMatchObject({
      'M.made with': 'filament',
      'M.assembled': 'dry',
      'c.law': 'simple harmonic',
      'c.flange': '1.2 mm',
      'a.fit': '0.2 mm',
      'a.drag': '0.3 N',
      'a.post': '44 mm by 6 mm at 0 mm, 66 mm',
      'g–h.backlash': '0.2 mm',
      'g.pressure angle': '20 deg',
      'limits.pressure angle': '30 deg',
      'limits.shown': '90 %',
      'dee.inner': '8 mm',
    });
    // No bearing is said: then its clearance is none of the maker's business.
    expect(noted.has('axle.bearing clearance')).toBe(false);
    expect(m.defaults.every(({ because }) => because !== '')).toBe(true);
  });

  it('of a process is the library’s filament, whose text says the same as the table of defaults', () => {
    const stated = mechanismOf('made with filament').mechanism.process;
    expect(bare(stated)).toEqual(bare(m.process));
    const { because: _, ...values } = filament;
    expect(bare(stated)).toEqual({ ...values, undersize: 0, bed: { width: 220, depth: 220 }, material: { ...pla } });
    const own = mechanismOf('made with mine', 'process mine { nozzle 0.6 mm }').mechanism;
    expect(own.process.nozzle.value).toBe(0.6);
    expect(own.process.wall).toMatchObject({ value: 0.8, by: 'default' });
    expect(own.process.material.name).toBe('pla');
    expect(own.defaults.map(({ of }) => of)).toContain('mine.wall');
  });

  it('follows from the process that is said', () => {
    const { mechanism } = mechanismOf(
      'made with mine\nsegment a\nsegment b { made with filament }\nkey k\nmesh g h\ngear g { made with filament }\ngear h\ncam c',
      'process mine { clearance 0.5 mm   spread 0.01 mm   drag 1 N   layer 0.5 mm }',
    );
    expect(mechanism.segments.map(({ fit, drag }) => [fit.value, drag.value])).toEqual([
      [0.5, 1],
      [0.2, 0.3],
    ]);
    expect(mechanism.keys[0]!.clearance.value).toBe(0.01);
    expect(mechanism.meshes[0]!.backlash.value).toBe(0.2);
    expect(mechanism.cams[0]!.flange.value).toBe(3);
  });

  it('of a tilted bar’s post keeps the tilt', () => {
    const { mechanism } = mechanismOf('segment a { bar 4 mm by 5 mm at 0 mm, 0 mm tilt 30 deg }');
    expect(mechanism.segments[0]!.post?.value.tilt).toBeCloseTo(30 * deg);
  });
});

describe('every …', () => {
  it('gives way to the narrower', () => {
    const { mechanism, problems } = mechanismOf(
      `shaft s
       shaft t
       every cam { base 10 mm   thickness 4 mm   law cycloidal }
       every cam on s { base 20 mm   thickness 5 mm }
       every segment { stroke 3 mm }
       every gear { module 2 mm }
       every mesh { backlash 0.3 mm }
       every shaft { bearing 6 mm }
       cam a on s { base 30 mm }
       cam b on s
       cam c on t
       segment x
       segment y { stroke 5 mm }
       gear g on s
       gear h on t { module 1 mm }
       mesh g h`,
    );
    expect(problems).toEqual([]);
    const [a, b, c] = mechanism.cams;
    expect([a, b, c].map((cam) => [cam!.base?.value, cam!.thickness.value, cam!.law.value.name])).toEqual([
      [30, 5, 'cycloidal'],
      [20, 5, 'cycloidal'],
      [10, 4, 'cycloidal'],
    ]);
    expect([a!.base?.by, b!.base?.by]).toEqual(['stated', 'every']);
    expect(mechanism.segments.map(({ stroke }) => stroke?.value)).toEqual([3, 5]);
    expect(mechanism.gears.map(({ module }) => module?.value)).toEqual([2, 1]);
    expect(mechanism.meshes[0]!.backlash).toMatchObject({ value: 0.3, by: 'every' });
    expect(mechanism.shafts.map(({ bearing }) => bearing?.value)).toEqual([6, 6]);
  });

  it('lets a narrower travel set aside a wider rise, and narrower lobes the wider', () => {
    const { mechanism } = mechanismOf(
      `every cam { rise 20 deg   travel 30 deg   raised at 0 }
       cam a
       cam b { travel 25 deg }
       cam c { lobe from 0 deg to 10 deg }`,
    );
    const [a, b, c] = mechanism.cams;
    expect([a!.rise?.width.value, a!.travel?.value]).toEqual([expect.closeTo(20 * deg), expect.closeTo(30 * deg)]);
    expect([b!.rise, b!.travel?.value]).toEqual([undefined, expect.closeTo(25 * deg)]);
    expect([a!.lobes.by, b!.lobes.by, c!.lobes.by]).toEqual(['symbols', 'symbols', 'angles']);
  });

  it('tells of its mistakes once, used or not', () => {
    expect(codes(mechanismOf('every cam { base 3 deg }\ncam a\ncam b').problems)).toEqual(['wrong-dimension']);
    expect(codes(mechanismOf('every cam { base 3 deg }').problems)).toEqual(['wrong-dimension']);
    expect(codes(mechanismOf('every cam { base 3 deg }\ncam a { base 3 mm }').problems)).toEqual(['wrong-dimension']);
    expect(codes(mechanismOf('every cam { law polynomial 1 }\ncam a\ncam b').problems)).toEqual(['bad-value']);
    const { mechanism } = mechanismOf('every cam { base 3 deg }\ncam a');
    expect(isUnclear(mechanism.cams[0]!, 'base')).toBe(true);
    expect(mechanism.defaults.map(({ of }) => of).filter((of) => of.startsWith('.'))).toEqual([]);
  });

  it('said in two blocks of one kind is one block', () => {
    const { mechanism, problems } = mechanismOf(
      'every cam { base 3 mm }\nevery cam { thickness 2 mm   base 4 mm }\ncam a',
    );
    expect(codes(problems)).toEqual(['said-twice']);
    expect([mechanism.cams[0]!.base?.value, mechanism.cams[0]!.thickness.value]).toEqual([3, 2]);
  });
});

describe('tables', () => {
  it('take over what they are like, and add or replace', () => {
    const { glyphs, problems } = resolve(
      'glyphs a { segments x y z   0 = x   1 = y }\nglyphs b like a { 1 = z   2 = x y }\nglyphs c like b { segments w   0 = w }',
    );
    expect(problems).toEqual([]);
    const c = glyphs[2]!;
    expect(c.segments).toEqual(['x', 'y', 'z', 'w']);
    expect(c.entries.map(({ symbol, lit }) => `${symbol}=${lit.join('')}`)).toEqual(['0=w', '1=z', '2=xy']);
  });

  it('of the library and of imports are seen, in their own files', () => {
    const { mechanisms } = resolve('import "tables.lobe"\nmechanism A { glyphs own }\nmechanism B { glyphs decimal }', {
      'memory:/tables.lobe': 'glyphs own { segments p   on = p }',
    });
    expect(mechanisms.map(({ glyphs }) => glyphs?.value.entries.length)).toEqual([1, 10]);
    expect(mechanisms[0]!.glyphs!.value.entries[0]!.place).toMatchObject({ file: 'memory:/tables.lobe', top: 0 });
    expect(mechanisms[1]!.glyphs!.value.place.file).toMatch(/^lobe-library:/);
  });

  it('without a list of segments have those of their entries', () => {
    expect(resolve('glyphs a { 0 = p q   1 = q r }').glyphs[0]!.segments).toEqual(['p', 'q', 'r']);
  });

  it('like each other in a circle are told once and read without', () => {
    const text = 'glyphs a like b { segments p   0 = p }\nglyphs b like c { 1 = p }\nglyphs c like a { }';
    const { glyphs, problems } = resolve(text);
    expect(problems.map(({ code, message }) => [code, message])).toEqual([
      ['circular-like', "c is like itself: a is like b is like c is like a; take one 'like' away"],
    ]);
    expect(glyphs.map(({ name }) => name)).toEqual(['a', 'b', 'c']);
    const after = resolve(text.replace('c like a', 'c'));
    expect(after.problems).toEqual([]);
  });

  it('like each other without end are told', () => {
    const many = Array.from({ length: 3000 }, (_, i) => `glyphs t${i} like t${i + 1} { s${i} = p }`).join('\n');
    const { problems, glyphs } = resolve(many);
    expect(glyphs).toHaveLength(3000);
    expect(new Set(codes(problems))).toEqual(new Set(['bad-value']));
  });

  it('several of each a file, and several mechanisms', () => {
    const { mechanisms, glyphs, materials, processes, problems } = resolve(
      `mechanism A { glyphs a }  mechanism B { glyphs b }
       glyphs a { 0 = p }  glyphs b { 0 = q }  material m { friction 0.2 }  process p { material m }  process r { }`,
    );
    expect(problems).toEqual([]);
    expect([mechanisms, glyphs, materials, processes].map(({ length }) => length)).toEqual([2, 2, 1, 2]);
    expect(mechanisms.map(({ glyphs }) => glyphs?.value)).toEqual(glyphs);
  });
});

describe('names with hyphens', () => {
  it('stand for materials, processes and tables', () => {
    const { mechanisms, problems } = resolve(`
      process mill-fine { material steel-music-wire }
      process own { material two-part-4 }
      material two-part-4 { modulus 2 GPa }
      glyphs pier-2 like hexadecimal { "-" = g }
      glyphs pier-3 like pier-2 { "+" = a }
      mechanism M { made with mill-fine   glyphs pier-3   cam c { made with own }   let a = 5   let b = 2   let d = a-b   key k { teeth d } }`);
    expect(problems).toEqual([]);
    const [m] = mechanisms;
    expect(m!.process.name).toBe('mill-fine');
    expect(m!.process.material.name).toBe('steel-music-wire');
    expect(m!.process.material.modulus!.value).toBe(206_000);
    expect(m!.cams[0]!.process.material.name).toBe('two-part-4');
    expect(m!.glyphs!.value.name).toBe('pier-3');
    expect(m!.keys[0]!.teeth!.value).toBe(3);
  });
});

describe('half-typed values', () => {
  it.each([
    '22 mm +',
    '22 +',
    '(22 mm',
    'min(22 mm,',
    'min(22 mm, 30 mm',
    'min(',
    '-',
    'r /',
    '(r / ',
    'r * * 2',
    '22 mm +/-',
    '22 mm 5',
    'r 2',
    'r)',
    '.5 mm',
    '22 mm × 2',
    "1'000 mm",
    '1,000 mm',
  ])('%s is no value', (value) => {
    for (const after of ['law cycloidal', '']) {
      const { mechanism, problems } = mechanismOf(`let r = 30 mm cam c { travel 20 deg base ${value} ${after} }`);
      const [cam] = mechanism.cams;
      expect(cam!.base).toBeUndefined();
      expect(isUnclear(cam!, 'base')).toBe(true);
      expect(cam!.travel).toBeDefined();
      expect(problems).toEqual([]);
    }
  });

  it('leaves what uses it without a value', () => {
    const { mechanism, problems } = mechanismOf('let r = 30 mm / cam c { base r } cam d { base 2 mm }');
    expect(mechanism.cams.map(({ base }) => base?.value)).toEqual([undefined, 2]);
    expect(mechanism.cams[0]!.unclear).toContain('base');
    expect(problems).toEqual([]);
  });

  it('leaves a whole value before what is no value', () => {
    for (const after of ['thicknes 3 mm', ', law cycloidal', '; law cycloidal', '']) {
      const { mechanism } = mechanismOf(`cam c { base 22 mm ${after} }`);
      expect(mechanism.cams[0]!.base?.value, after).toBe(22);
    }
    expect(mechanismOf('cam c { base: 22 mm }').mechanism.cams[0]!.base!.value).toBe(22);
  });

  it('reads a number as meant that is clear all the same', () => {
    for (const value of ['30,5 mm', '3.05e1 mm', '0,0305 mm * 1e3']) {
      expect(mechanismOf(`cam c { base ${value} }`).mechanism.cams[0]!.base!.value, value).toBeCloseTo(30.5, 9);
    }
    expect(mechanismOf('let a = max(1,5) key k { teeth a }').mechanism.keys[0]!.teeth!.value).toBe(5);
    const { posts } = mechanismOf('post p { at 0,5 mm, 30,5 mm }').mechanism;
    expect(posts[0]!.at!.value).toEqual({ x: 0.5, y: 30.5 });
    expect(mechanismOf('count 1,5 1e3').mechanism.count!.symbols.map(({ text }) => text)).not.toContain('1.5');
  });

  it('are noted of limits and of the count', () => {
    const { mechanism } = mechanismOf('limits { pressure angle (45 deg   shown 80 % } count 1 2 times');
    expect(isUnclear(mechanism.limits, 'pressure angle')).toBe(true);
    expect(mechanism.count).toBeUndefined();
    expect(isUnclear(mechanism, 'count')).toBe(true);
  });
});

it('a table whose parent is not known is not known whole', () => {
  for (const like of ['like decimil', 'like', 'like other']) {
    const { mechanisms, glyphs } = resolve(
      `mechanism M { glyphs more } glyphs more like pier { 3 = a } glyphs pier ${like} { C = a } glyphs other like pier { 2 = a }`,
    );
    expect(mechanisms[0]!.glyphs, like).toBeUndefined();
    expect(isUnclear(mechanisms[0]!, 'glyphs')).toBe(true);
    expect(glyphs.map(({ unclear }) => unclear)).toEqual([['like'], ['like'], ['like']]);
  }
});

describe('what is wrong', () => {
  it.each([
    // the same said twice
    ['cam c { base 1 mm   base 2 mm }', 'said-twice', 'base 2 mm'],
    ['gear g { pressure angle 20 deg   pressure angle 25 deg }', 'said-twice', 'pressure angle 25 deg'],
    ['about { title "a"   title "b" }', 'said-twice', 'title "b"'],
    ['about { title "a" }\nabout { revision "b" }', 'said-twice', 'about { revision "b" }'],
    ['count 0 1\ncount 1 0', 'said-twice', 'count 1 0'],
    ['runs forward\nruns either', 'said-twice', 'runs either'],
    ['assembled dry\nassembled greased', 'said-twice', 'assembled greased'],
    ['made with filament\nmade with filament', 'said-twice', 'made with filament'],
    ['glyphs decimal\nglyphs decimal', 'said-twice', 'glyphs decimal'],
    ['limits { push 1 N }\nlimits { return 2 }', 'said-twice', 'limits { return 2 }'],
    ['accept steep-cam "a"\naccept steep-cam "b"', 'said-twice', 'accept steep-cam "b"'],
    ['segment a\ncam c drives a a', 'said-twice', 'a'],
    ['segment a\nspring s { returns a a }', 'said-twice', 'a'],
    ['cam c { raised at 0 1 0 }', 'said-twice', '0'],
    ['cam c { raised at 0   lobe from 0 deg to 9 deg }', 'said-twice', 'lobe from 0 deg to 9 deg'],
    ['segment a { bar 1 mm by 2 mm at 3 mm, 4 mm plane 1 plane 2 }', 'said-twice', 'plane 2'],
    ['shaft s { leads }\nshaft t { leads }', 'said-twice', 'leads'],
    ['gear g\ngear h\nmesh g h\nmesh h g', 'said-twice', 'mesh h g'],
    // out of range
    ['gear g { teeth 0 }', 'bad-value', '0'],
    ['gear g { teeth 12.5 }', 'bad-value', '12.5'],
    ['gear g { teeth -12 }', 'bad-value', '-12'],
    ['gear g { module 0 mm }', 'bad-value', '0 mm'],
    ['gear g { pressure angle 50 deg }', 'bad-value', '50 deg'],
    ['cam c level 0', 'bad-value', '0'],
    ['cam c level 1.5', 'bad-value', '1.5'],
    ['cam c { base -3 mm }', 'bad-value', '-3 mm'],
    ['cam c { flange 1 mm to radius 0 mm }', 'bad-value', '0 mm'],
    ['cam c { law constant velocity blended 60 % }', 'bad-value', '60 %'],
    ['cam c { law constant acceleration blended 20 % }', 'bad-value', 'constant acceleration blended 20 %'],
    ['cam c { law polynomial 3-4-6 }', 'bad-value', 'polynomial 3-4-6'],
    ['cam c { travel 0 deg }', 'bad-value', '0 deg'],
    ['cam c { travel 2 turn }', 'bad-value', '2 turn'],
    ['cam c { lobe from 0 deg to 9 deg flank 0 deg }', 'bad-value', '0 deg'],
    ['segment a { nose -1 mm }', 'bad-value', '-1 mm'],
    ['segment a { bar 0 mm by 2 mm at 3 mm, 4 mm }', 'bad-value', '0 mm'],
    ['segment a { fit -0.1 mm }', 'bad-value', '-0.1 mm'],
    ['limits { shown 101 % }', 'bad-value', '101 %'],
    ['limits { shown 90 }', 'bad-value', '90'],
    ['push p { start 90 deg }', 'bad-value', '90 deg'],
    ['ratchet r { teeth 1 }', 'bad-value', '1'],
    ['bought 0 "screw"', 'bad-value', '0'],
    ['count 0 1 times 0', 'bad-value', '0'],
    ['count 0 ""', 'bad-value', '""'],
    ['count', 'bad-value', 'count'],
    ['key k { shape flat   outer 5 mm   inner 5 mm }', 'bad-value', '5 mm'],
    ['key k { shape splined   teeth 5   master 5 }', 'bad-value', '5'],
    ['gear g\nmesh g g', 'bad-value', 'g'],
    ['accept steep-cam', 'bad-value', 'accept steep-cam'],
  ])('%s', (statements, code, at) => {
    const text = `mechanism M {\n${statements}\n}`;
    const resolved = resolve(text);
    expect(told(text, resolved.problems, resolved).map(([code, , at]) => [code, at])).toEqual([[code, at]]);
    expect(resolved.mechanisms).toHaveLength(1);
  });

  it.each([
    ['glyphs g { segments a a   0 = a }', 'said-twice', 'a'],
    ['glyphs g { segments a   0 = a   0 = blank }', 'said-twice', '0 = blank'],
    ['glyphs g { segments a   0 = a a }', 'said-twice', 'a'],
    ['glyphs g { segments left   0 = lefft }', 'unknown-name', 'lefft'],
    ['glyphs g like decimal { "-" = h }', 'unknown-name', 'h'],
    ['glyphs g { segments a   0 = }', 'bad-value', '0 ='],
    ['material m { friction -1 }', 'bad-value', '-1'],
    ['material m { density 1 g }', 'wrong-dimension', '1 g'],
    ['process p { wall 0 mm }', 'bad-value', '0 mm'],
    ['process p { wall 1 mm   wall 1 mm }', 'said-twice', 'wall 1 mm'],
    ['language 2', 'newer-language', '2'],
    ['language 0', 'bad-value', '0'],
  ])('%s', (text, code, at) => {
    const resolved = resolve(text);
    expect(told(text, resolved.problems, resolved).map(([code, , at]) => [code, at])).toEqual([[code, at]]);
  });

  it('says what would do', () => {
    const message = (statement: string) => mechanismOf(statement).problems[0]!.message;
    expect(message('gear g { teeth 12.4 }')).toBe(
      'teeth must be a whole number, at least 4 and at most 10000, found 12.4; did you mean 12?',
    );
    expect(message('cam c { base -3 mm }')).toBe('base must be more than 0 mm, found -3 mm; did you mean 3 mm?');
    expect(message('limits { hidden 10 }')).toBe(
      'hidden must be at least 0 % and at most 100 %, found 1000 %; did you mean 10 %?',
    );
    expect(message('gear g { module 0 mm }')).toBe('module must be more than 0 mm, found 0 mm');
    expect(message('cam c { law constant velocity blended 60 % }')).toBe(
      'blended must be at least 0 % and at most 50 %, found 60 %; 50 % would do',
    );
  });

  it('leaves what it cannot understand absent, and says so; a missing value is another matter', () => {
    const { mechanism } = mechanismOf(
      'cam c on nowhere level 0 drives x { base 3 deg   flange 1 mm to radius 0 mm }\ncam d',
    );
    const [c, d] = mechanism.cams;
    expect([c!.shaft, c!.level, c!.base, c!.segments]).toEqual([undefined, undefined, undefined, []]);
    expect(c!.unclear.toSorted()).toEqual(['base', 'drives', 'flange radius', 'level', 'on']);
    expect(d!.unclear).toEqual([]);
    const whole = mechanismOf('count 0 1 times 0\nglyphs nothing\nmade with nothing').mechanism;
    expect(whole.unclear.toSorted()).toEqual(['count', 'glyphs', 'made with']);
    // A default that stands in for something said is not told as one.
    expect(mechanismOf('segment a { fit 3 deg }').mechanism.defaults.map(({ of }) => of)).not.toContain('a.fit');
  });

  it('in a broken statement hides nothing else: nothing is missed in it', () => {
    const { mechanism } = mechanismOf('cam c { base   travel 20 deg }\ncam d');
    expect([isUnclear(mechanism.cams[0]!, 'base'), isUnclear(mechanism.cams[0]!, 'level')]).toEqual([true, true]);
    expect(isUnclear(mechanism.cams[1]!, 'base')).toBe(false);
    expect(isUnclear(mechanism, 'count')).toBe(false);
    const every = mechanismOf('every cam { base   travel }\ncam c\ngear g').mechanism;
    expect([isUnclear(every.cams[0]!, 'level'), isUnclear(every.gears[0]!, 'teeth')]).toEqual([true, false]);
  });

  it('of two parts of one name, the first counts', () => {
    const { mechanism } = mechanismOf('cam c { base 1 mm }\ncam c { base 2 mm }\ncam c { base 2 deg }');
    expect(mechanism.cams.map(({ base }) => base?.value)).toEqual([1]);
  });
});

describe('resolving again', () => {
  const text = readFileSync('examples/berth-sign.lobe', 'utf8');
  const two = `${text}\nmechanism Other { glyphs decimal   count 0 1   segment a { stroke 1 deg } }\n`;

  it('keeps what did not change, the problems with it', () => {
    const first = resolve(two);
    const again = resolve(two, {}, first);
    expect(again.mechanisms.map((m, i) => m === first.mechanisms[i])).toEqual([true, true]);
    expect(again.glyphs[0]).toBe(first.glyphs[0]);
    expect(again.problems).toEqual(first.problems);
    expect(again.problems).toHaveLength(1);
  });

  it('reads anew only the mechanism that changed; the others’ places go with their text', () => {
    const first = resolve(two);
    const changed = two.replace('base 22 mm', 'base 22.25 mm');
    const again = resolve(changed, {}, first);
    expect(again.mechanisms.map((m, i) => m === first.mechanisms[i])).toEqual([false, true]);
    expect(again.mechanisms[0]!.cams[0]!.base?.value).toBe(22.25);
    const { place } = again.problems[0]!;
    const at = whereIs(place, again)!;
    expect(changed.slice(at.from, at.to)).toBe('1 deg');
    expect(at.from).toBe(two.indexOf('1 deg') + 3);
  });

  it('reads anew what sees a table that changed', () => {
    const first = resolve(two);
    const again = resolve(two.replace('"-" = g', '"-" = d'), {}, first);
    expect(again.mechanisms.map((m, i) => m === first.mechanisms[i])).toEqual([false, true]);
    expect(again.mechanisms[0]!.glyphs?.value.entries.at(-1)?.lit).toEqual(['d']);
  });

  it('reads anew what sees a table of another file, or one that a table is like, that changed', () => {
    const main =
      'import "t.lobe"\nmechanism A { glyphs near }\nmechanism B { glyphs decimal }\nglyphs near like far { 1 = p }';
    const other = (lit: string) => ({ 'memory:/t.lobe': `glyphs far { segments p q   0 = ${lit} }` });
    const first = resolve(main, other('p'));
    expect(resolve(main, other('p'), first).mechanisms).toEqual(first.mechanisms);
    expect(resolve(main, other('p'), first).mechanisms[0]).toBe(first.mechanisms[0]);
  });

  it('reads anew what stands elsewhere among the statements', () => {
    const first = resolve(two);
    const again = resolve(`glyphs more { 0 = a }\n${two.replace('language 1', '')}`, {}, first);
    expect(again.mechanisms.map((m, i) => m === first.mechanisms[i])).toEqual([false, false]);
    expect(again.mechanisms[0]!.place.top).toBe(1);
  });

  it('survives JSON', () => {
    const { mechanisms } = resolve(two);
    expect(JSON.parse(JSON.stringify(mechanisms))).toEqual(JSON.parse(JSON.stringify(mechanisms)));
  });
});

describe('bad input', () => {
  /** Resolves a text that has been read; how long reading takes is not told here. */
  const timed = (text: string) => {
    const document = read(text);
    const start = process.cpuUsage();
    const resolved = resolveDocument(document);
    const { user, system } = process.cpuUsage(start);
    expect((user + system) / 1000).toBeLessThan(2000);
    return resolved;
  };

  it.each([
    ['nothing', ''],
    ['a word', 'mechanism'],
    [
      'a megabyte of text',
      `mechanism M {\n${'cam c on s level 1 drives a { base 22 mm   travel 25 deg }\n'.repeat(17_000)}}`,
    ],
    ['ten thousand terms', `mechanism M { cam c { base ${'1 mm + '.repeat(10_000)} 1 mm } }`],
    ['ten thousand parentheses', `mechanism M { cam c { base ${'('.repeat(10_000)}1 mm${')'.repeat(10_000)} } }`],
    ['a thousand symbols', `mechanism M { count ${Array.from({ length: 1000 }, (_, i) => `s${i}`).join(' ')} }`],
    ['one symbol', 'mechanism M { count 0 }'],
    ['a million times', 'mechanism M { count 0 1 times 1000000 }'],
  ])('%s is resolved in time', (_, text) => {
    const resolved = timed(text);
    expect(resolved.file).toBe(uri);
  });

  it('ten thousand lets in a circle', () => {
    const lets = Array.from({ length: 10_000 }, (_, i) => `let n${i} = n${(i + 1) % 10_000}`).join('\n');
    const { problems } = timed(`mechanism M {\n${lets}\n}`);
    expect(codes(problems)).toEqual(['circular-let']);
  });

  it('a thousand counted symbols are all there', () => {
    const symbols = Array.from({ length: 1000 }, (_, i) => String(i));
    const found: Mechanism = mechanismOf(`count ${symbols.join(' ')}`).mechanism;
    expect(found.count?.symbols.map(({ text }) => text)).toEqual(symbols);
  });

  it('a syntax tree without its statements', () => {
    const document = read('');
    expect(document.parseResult.value.statements).toEqual([]);
  });
});
