/** The checks of single parts at their edges: what is half-written, nothing at all, or far too much. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { gearedBoard, lampBoard } from '../../../server/checks/examples.ts';
import { reckon } from '../../../server/reckon/figures.ts';
import { mechanismsIn } from '../../designs.ts';
import { codesIn, findingsIn } from './findings.ts';

const berth = readFileSync('examples/berth-sign.lobe', 'utf8');
const figuresOf = (text: string) => reckon(mechanismsIn(text)[0]!);
const told = (text: string, code: string) => findingsIn(text).filter((one) => one.code === code);
const left = (camL: string, segment = '', key = '') =>
  lampBoard({
    ...(key && { shaft: `shaft axle { at 0 mm, 0 mm   turns clockwise   key round }\nkey round { ${key} }` }),
    left: `segment left { azimuth 180 deg   bar 4 mm by 20 mm at -60 mm, 0 mm ${segment} }`,
    right: 'segment right { azimuth 0 deg   bar 4 mm by 20 mm at 60 mm, 0 mm }',
    camL: `cam camL on axle level 1 drives left ${camL}`,
  });

describe('undercut-cam', () => {
  const text = left('{ base 13 mm   travel 30 deg }', 'nose 9 mm');

  it('says where, by how much, what is lost, and every number that would do', () => {
    const [found, ...others] = findingsIn(text);
    expect(others).toEqual([]);
    expect(found.message).toMatch(
      /^camL is undercut at \d+°: there the path of the nose bends to a radius of [\d.]+ mm, and the nose is 9 mm, and bar left loses [\d.]+ mm of its 3 mm lift; nose [\d.]+ mm would do, or base [\d.]+ mm/,
    );
    const { radius, nose, lostLift, largestNose } = found.figures as Record<string, number>;
    expect(radius).toBeLessThan(nose);
    expect(lostLift).toBeGreaterThan(0);
    // The nose that is offered is no smaller than it must be.
    const with_ = (size: number) => codesIn(left('{ base 13 mm   travel 30 deg }', `nose ${size} mm`));
    expect(with_(largestNose)).not.toContain('undercut-cam');
    expect(with_(largestNose + 0.1)).toContain('undercut-cam');
  });

  it('is silent where the cam is too steep as well: that says what undercut takes', () => {
    const found = findingsIn(left('{ base 4 mm   travel 20 deg }', 'nose 9 mm'));
    expect(found.map(({ code }) => code)).toEqual(['steep-cam']);
    expect(found[0].message).toContain('undercut takes');
  });

  it('under a flat face offers base and travel', () => {
    const [found, ...others] = findingsIn(left('{ base 6 mm   travel 50 deg }', 'follower flat'));
    expect(others).toEqual([]);
    expect(found.message).toMatch(
      /^camL is undercut at \d+°: the flat face of bar left cuts away its own edge.*; base/,
    );
    const least = Math.ceil(found.figures.smallestBase as number);
    expect(codesIn(left(`{ base ${least} mm   travel 50 deg }`, 'follower flat'))).not.toContain('undercut-cam');
  });

  it('names the bar that loses most of those that one base serves, and blames nothing of it on what plays', () => {
    const flat = berth
      .replace('stroke 3.5 mm   nose 1.5 mm', 'stroke 5 mm   follower flat   stem 4 mm   overhang 7 mm')
      .replace('base 22 mm   law simple harmonic   travel 25 deg', 'base 30 mm   travel 28 deg')
      .replace('{ travel 26 deg }', '');
    const findings = findingsIn(flat);
    const [found, ...more] = findings.filter(({ code }) => code === 'undercut-cam');
    expect(more).toEqual([]);
    const lost = figuresOf(flat).cams.map(({ lostLift }) => lostLift?.value ?? 0);
    expect(found.figures.lostLift).toBeCloseTo(Math.max(...lost), 9);
    expect(findings.map(({ code }) => code)).not.toContain('loose-fit');
  });

  it('tells of a corner for information, and only what can be felt', () => {
    const law = (law: string, nose: number) =>
      told(left(`{ base 20 mm   travel 40 deg   law ${law} }`, `nose ${nose} mm`), 'undercut-cam');
    expect(law('constant velocity', 3)[0]).toMatchObject({
      severity: 'information',
      at: 'constant velocity',
      message: expect.stringMatching(/turns on a corner of its cam at \d+° and loses 0\.\d+ mm of its 3 mm lift/),
    });
    expect(law('constant velocity', 0.1)).toEqual([]);
    expect(law('constant velocity blended 20 %', 3)).toEqual([]);
  });

  it('says nothing of what is half-written', () => {
    for (const [cam, segment] of [
      ['{ base   travel 30 deg }', 'nose 9 mm'],
      ['{ base 10 mm   travel deg }', 'nose 9 mm'],
      ['{ base 10 mm   travel 30 deg   law }', 'nose 9 mm'],
    ])
      expect(told(left(cam, segment), 'undercut-cam')).toEqual([]);
  });
});

describe('thin-cam', () => {
  it('is one clear finding where the base is smaller than the key', () => {
    const [found, ...others] = findingsIn(left('{ base 11 mm }', '', 'shape flat   outer 24 mm   clearance 0.1 mm'));
    expect(others).toEqual([]);
    expect(found).toMatchObject({ code: 'thin-cam', severity: 'error', at: '11 mm' });
    expect(found.message).toBe(
      'the bore of key round breaks out of camL: it reaches 12.1 mm from the centre, and the base is 11 mm; base 13 mm would do',
    );
  });

  it('names the base that its fix writes', () => {
    const [found] = told(left('{ base 12.6 mm }', '', 'shape flat   outer 24 mm   clearance 0.1 mm'), 'thin-cam');
    expect(found.figures.smallestBase).toBeCloseTo(12.9, 9);
    expect(found.message).toContain('; base 13 mm would do');
    expect(found.fixes[0].title).toBe('Give camL base 13 mm');
  });

  it('is one finding at the key where it is too large for cams of several bases, whatever else its shafts then reach', () => {
    const signal = readFileSync('examples/signal-box.lobe', 'utf8');
    for (const outer of [55, 60, 70]) {
      const text = signal.replace('outer 16 mm', `outer ${outer} mm`);
      const [found, ...others] = findingsIn(text);
      expect(others.map(({ message }) => message)).toEqual([]);
      expect(found).toMatchObject({ code: 'thin-cam', severity: 'error', at: `${outer} mm` });
      expect([...found.about].sort()).toEqual(['camA', 'camB', 'camC', 'camD', 'camE', 'camF', 'camG', 'spline']);
      expect(found.related.map(({ message }) => message)).toEqual(['the base of camA', 'the base of camD']);
      expect(found.message).toMatch(/; outer 51 mm of key spline would do, or base [\d.]+ mm$/);
    }
    // 51 mm and a clearance of 0.1 mm reach 25.6 mm, 0.9 mm less than the lesser base; 51.5 mm would leave too little.
    expect(codesIn(signal.replace('outer 16 mm', 'outer 51 mm'))).toEqual([]);
    expect(codesIn(signal.replace('outer 16 mm', 'outer 51.5 mm'))).toEqual(['thin-cam']);
  });

  it('tells nothing that the key reaches as well, the guides say', () => {
    const key = 'shape flat   outer 60 mm   clearance 0.1 mm';
    const codes = codesIn(left('{ base 20 mm }', 'guide 14 mm', key));
    expect(codes).toContain('thin-cam');
    expect(codes).not.toContain('post-clash');
  });

  it('leaves it to steep-cam where the base is too small for that too, with a base that does for both', () => {
    const [found, ...others] = findingsIn(left('{ base 3 mm }', '', 'shape flat   outer 24 mm   clearance 0.1 mm'));
    expect(others).toEqual([]);
    expect(found.code).toBe('steep-cam');
    expect(found.message).toContain('the bore of key round breaks out of the profile; base 13 mm would do');
  });

  it('counts a huge clearance as part of the bore, and knows none of a key that lets the shaft turn', () => {
    const key = (clearance: number) =>
      left('{ base 14 mm }', '', `shape flat   outer 24 mm   clearance ${clearance} mm`);
    expect(told(key(1), 'thin-cam')).toEqual([]);
    expect(told(key(1.5), 'thin-cam')).toHaveLength(1);
    expect(told(key(8), 'thin-cam')).toEqual([]);
  });

  it('asks of a cam that is up all round only what its profile needs', () => {
    const text = (base: number) =>
      left(`{ base ${base} mm   raised at off low high }`, '', 'shape flat   outer 24 mm   clearance 0.1 mm');
    expect(told(text(11), 'thin-cam')).toEqual([]);
    expect(told(text(9.5), 'thin-cam')[0].message).toContain('base 10 mm would do');
  });

  it('is asked for by the base that is offered where none is given', () => {
    const [found] = told(
      left('', '', 'shape flat   outer 40 mm   clearance 0.1 mm').replace('base 20 mm   ', ''),
      'missing-value',
    );
    expect(found.message).toContain('base 21 mm would do');
  });

  it('says nothing of a key that is half-written', () => {
    for (const key of ['shape flat   outer mm', 'shape flat', 'shape   outer 24 mm', 'outer 60 mm'])
      expect(told(left('{ base 11 mm }', '', key), 'thin-cam')).toEqual([]);
  });
});

describe('thin-gear', () => {
  const keyed = (outer: string) => {
    const text = gearedBoard({ everyCam: 'every cam { base 40 mm   travel 60 deg }' });
    return text
      .replaceAll(/(shaft (?:upper|lower) \{)/g, '$1 key round')
      .replace(
        'count off low high',
        `count off low high\n  key round { shape flat   outer ${outer}   clearance 0.1 mm }`,
      );
  };

  it('is told once for all gears on a key, as an error where the bore breaks out', () => {
    // 60 teeth of module 1 mm have feet at 28.75 mm.
    const [found] = told(keyed('56.2 mm'), 'thin-gear');
    expect(found).toMatchObject({ severity: 'warning', at: '60', about: ['upperGear', 'lowerGear', 'round'] });
    expect(found.message).toBe(
      'upperGear has 0.55 mm of material left between its bore and the feet of its teeth (wall 0.8 mm), and so it is for gear lowerGear',
    );
    expect(told(keyed('58 mm'), 'thin-gear')).toMatchObject([{ severity: 'error' }]);
    expect(told(keyed('55 mm'), 'thin-gear')).toEqual([]);
  });

  it('says nothing beside cams on that key that are too thin, nor of a key that is half-written', () => {
    expect(codesIn(keyed('90 mm')).filter((code) => code.startsWith('thin'))).toEqual(['thin-cam']);
    expect(told(keyed('mm'), 'thin-gear')).toEqual([]);
  });
});

describe('an arm', () => {
  it('with its pivot on the shaft is told so, and of no length that would do', () => {
    const [found] = told(left('', 'follower pivoted at 0 mm, 0 mm arm 22 mm'), 'short-arm');
    expect(found.message).toMatch(/^the pivot of left stands on shaft axle: /);
  });

  it('for which no base does is told so', () => {
    const steep = told(left('', 'follower pivoted at -15 mm, 0 mm arm 25 mm'), 'steep-cam');
    expect(steep[0].message).toContain('; no base would do with the pivot where it stands');
    expect(steep[0].figures.smallestBase).toBeUndefined();
  });
});

describe('steep-cam', () => {
  it('names the base that its fix writes', () => {
    const [found] = told(left('{ base 4 mm   travel 40 deg }'), 'steep-cam');
    const base = /base ([\d.]+ mm) would do/.exec(found.message)?.[1];
    expect(found.fixes.map(({ title }) => title)).toContain(`Give camL base ${base}`);
  });
});

describe('short-face', () => {
  const board = (segment: string, camL = '{ law simple harmonic   travel 60 deg }') =>
    left(camL, `follower flat   ${segment}`);

  it('says how far the cam touches, and the width that would do', () => {
    const [found, ...others] = findingsIn(board('stem 4 mm'));
    expect(others).toEqual([]);
    expect(found).toMatchObject({ code: 'short-face', severity: 'error', at: '4 mm', about: ['left', 'camL'] });
    // Harmonic, 3 mm in 60°: s' = πL/2β = 4.5 mm (derived).
    expect(found.figures.faceReach).toBeCloseTo(4.5, 6);
    expect(found.message).toMatch(/touches it up to 4.5 mm off its middle, at \d+°; stem 9 mm would do$/);
    expect(told(board('stem 9 mm'), 'short-face')).toEqual([]);
    expect(told(board('stem 8.9 mm'), 'short-face')).toHaveLength(1);
  });

  it('counts from the middle of a face beside the shaft', () => {
    for (const offset of ['2 mm', '-2 mm'])
      expect(told(board(`stem 9 mm   offset ${offset}`), 'short-face')[0].figures.faceReach).toBeCloseTo(6.5, 6);
  });

  it('is silent where no width is stated: the face is then as wide as it must be', () => {
    expect(told(board(''), 'short-face')).toEqual([]);
    expect(told(board('nose 1 mm'), 'short-face')).toEqual([]);
  });

  it('such a face is held against its neighbours', () => {
    const guided = board('guide 20 mm   overhang 1 mm').replace(
      'segment right {',
      'segment low { azimuth 180 deg   bar 4 mm by 10 mm at -40 mm, 30 mm   post 4 mm by 10 mm at -30 mm, 5.5 mm }\n  segment right {',
    );
    const text = guided
      .replace('cam camR on axle level 2', 'cam camD on axle level 3 drives low\n  cam camR on axle level 2')
      .replaceAll('left right', 'left low right')
      .replace('low = left ', 'low = left low ');
    const clash = told(text, 'post-clash').find(({ about }) => about.includes('left') && about.includes('low'));
    expect(clash?.message).toContain('of left');
  });
});

describe('idle-key', () => {
  it.each([
    ['shape flat   outer 10 mm   inner 9.99 mm   clearance 0.1 mm', '0.1 mm', '0.005 mm'],
    ['shape flat   outer 10 mm   inner 9.99 mm', '9.99 mm', '0.005 mm'],
    ['shape splined   teeth 8   master 2   outer 10 mm   inner 9.9 mm   clearance 0.1 mm', '0.1 mm', '0.05 mm'],
    ['shape splined   teeth 8   outer 10 mm   inner 9.9 mm   clearance 0.1 mm', '0.1 mm', '0.05 mm'],
    ['shape square   across 10 mm   clearance 2.2 mm', '2.2 mm', '2.071 mm'],
    ['shape hexagon   across 10 mm   clearance 0.8 mm', '0.8 mm', '0.774 mm'],
    // To the hair: a shaft that just touches all round turns.
    ['shape flat   outer 10 mm   inner 9.8 mm   clearance 0.1 mm', '0.1 mm', '0.1 mm'],
  ])('says that in %s the shaft turns, and nothing else', (key, at, grasp) => {
    const found = findingsIn(left('', '', key));
    expect(found.map(({ code, severity }) => [code, severity])).toEqual([['idle-key', 'error']]);
    expect(found[0].at).toBe(at);
    expect(found[0].message).toContain('the shaft turns in the bore of key round');
    expect(found[0].message).toContain(`a clearance of less than ${grasp} would hold`);
    expect(found[0].about).toEqual(['round', 'camL', 'left', 'camR', 'right']);
  });

  it('is silent where the shaft holds by a little, and where the sizes are not known', () => {
    for (const key of [
      'shape square   across 10 mm   clearance 2 mm',
      'shape flat   outer 10 mm   inner 9.7 mm   clearance 0.1 mm',
      'shape flat   outer 10 mm   inner 11 mm   clearance 0.1 mm',
      'shape square   clearance 3 mm',
      'shape square   across 10 mm   clearance mm',
    ])
      expect(told(left('', '', key), 'idle-key'), key).toEqual([]);
  });

  it('says nothing of a bore without clearance', () => {
    expect(told(left('', '', 'shape flat   outer 10 mm   inner 9.99 mm   clearance 0 mm'), 'idle-key')).toEqual([]);
  });
});

describe('key-ambiguous', () => {
  const spline = 'shape splined   teeth 12   outer 16 mm   inner 13 mm';

  it('is one finding for all parts on a key, at what makes it so', () => {
    const found = findingsIn(left('', '', spline));
    expect(found.map(({ code, at }) => [code, at])).toEqual([['key-ambiguous', '12']]);
    expect(found[0].message).toBe(
      'key round goes on in 12 ways: turned by a multiple of 30°, camL and camR are other parts',
    );
    expect(found[0].fixes.map(({ title }) => title)).toEqual(['Join the first two teeth of round']);
  });

  it('is none where every part is the same when so turned', () => {
    const even = left('{ raised at off low high }', '', 'shape square   across 8 mm').replace(
      'cam camR on axle level 2 drives right',
      'cam camR on axle level 2 drives right { raised at off low high }',
    );
    expect(told(even, 'key-ambiguous')).toEqual([]);
  });

  it('of one tooth, or all of them joined, is none', () => {
    for (const teeth of ['teeth 1', 'teeth 12   master 12', 'teeth 12   master 2'])
      expect(told(left('', '', spline.replace('teeth 12', teeth)), 'key-ambiguous')).toEqual([]);
  });

  it('hints at cams without a flange that go on turned over', () => {
    const flat = 'shape flat   outer 16 mm';
    const board = (flange: string) =>
      lampBoard({
        shaft: `shaft axle { at 0 mm, 0 mm   turns clockwise   key round }\nkey round { ${flat} }`,
        camR: `cam camR on axle level 2 drives right { ${flange} }`,
      });
    const [hint, ...others] = findingsIn(board('flange 0 mm'));
    expect(others).toEqual([]);
    expect(hint).toMatchObject({ code: 'key-ambiguous', severity: 'hint', about: ['round', 'camR'] });
    expect(codesIn(board(''))).toEqual([]);
  });

  it('says nothing of a key that is half-written', () => {
    for (const key of [
      'shape',
      'shape splined   teeth   outer 16 mm   inner 13 mm',
      'shape square',
      `${spline}   master`,
    ])
      expect(told(left('', '', key), 'key-ambiguous')).toEqual([]);
  });
});

/** Two gears on centres that suit them. */
const pair = (first: number, second: number, gear = '', more: [string, string] = ['', '']) =>
  gearedBoard({
    lower: `shaft lower { at 0 mm, ${30 - first / 2 - second / 2} mm   turns counterclockwise }`,
    upperGear: `gear upperGear on upper { module 1 mm   teeth ${first}   width 5 mm   mark 270 deg   ${gear} ${more[0]} }`,
    lowerGear: `gear lowerGear on lower { module 1 mm   teeth ${second}   width 5 mm   mark 90 deg   ${gear} ${more[1]} }`,
    camR: '',
    right: '',
    count: 'count off low',
    table: 'glyphs lamps { segments left   off = blank   low = left }',
  });

describe('undercut-gear', () => {
  it('lets 17 teeth of 20° pass, as is usual, and 16 not', () => {
    expect(told(pair(17, 34), 'undercut-gear')).toEqual([]);
    const [found] = told(pair(16, 32), 'undercut-gear');
    expect(found).toMatchObject({ at: '16', severity: 'warning' });
    expect(found.message).toBe(
      'upperGear has 16 teeth, too few for 20°: they come out undercut; 17 teeth would do, or shift 0.07',
    );
  });

  it('knows pressure angle and shift', () => {
    expect(told(pair(12, 24, 'pressure angle 25 deg'), 'undercut-gear')).toEqual([]);
    expect(told(pair(12, 24, 'pressure angle 14.5 deg'), 'undercut-gear')).toHaveLength(2);
    expect(told(pair(12, 48, '', ['shift 0.3', 'shift -0.3']), 'undercut-gear')).toEqual([]);
    const [found] = told(pair(30, 30, '', ['shift -0.9', 'shift 0.9']), 'undercut-gear');
    expect(found.message).toContain('30 teeth, too few for 20° and a shift of -0.9');
  });

  it('offers no shift that leaves no tip, down to the fewest teeth', () => {
    for (const teeth of [4, 5, 8]) {
      const [found] = told(pair(teeth, 60), 'undercut-gear');
      expect(found.fixes).toEqual([]);
      expect(found.message).toMatch(/; 17 teeth would do$/);
    }
    expect(told(pair(1, 60), 'undercut-gear')).toEqual([]);
    expect(codesIn(pair(1, 60))).toContain('bad-value');
  });

  it('says nothing of what is half-written', () => {
    for (const gear of ['shift', 'pressure angle', 'pressure angle 20 mm'])
      expect(told(pair(12, 24, '', [gear, '']), 'undercut-gear').map(({ about }) => about[0])).toEqual([]);
  });
});

describe('weak-mesh', () => {
  const steep = 'pressure angle 30 deg';

  it('is a warning below 1.2 and an error below 1', () => {
    expect(told(pair(8, 8, steep), 'weak-mesh')).toMatchObject([{ severity: 'warning', at: '8' }]);
    expect(told(pair(12, 48, '', ['shift 1.5', 'shift -1.5']), 'weak-mesh')).toMatchObject([{ severity: 'error' }]);
    expect(told(pair(30, 30), 'weak-mesh')).toEqual([]);
  });

  it('is silent beside wrong centres and beside too few teeth', () => {
    const moved = pair(8, 8, steep).replace('at 0 mm, 22 mm', 'at 0 mm, 21.5 mm');
    expect(told(moved, 'weak-mesh')).toEqual([]);
    expect(codesIn(moved)).toContain('centre-distance');
    expect(told(pair(5, 5), 'weak-mesh')).toEqual([]);
  });

  it('says nothing of one tooth, nor of what is half-written', () => {
    expect(told(pair(1, 1), 'weak-mesh')).toEqual([]);
    expect(told(pair(8, 8, 'pressure angle'), 'weak-mesh')).toEqual([]);
  });
});

describe('tight-tips', () => {
  /** Two gears of module 4 mm, so far apart. */
  const shifted = (centres: number, first: string, second: string, teeth: [number, number] = [12, 12]) =>
    gearedBoard({
      lower: `shaft lower { at 0 mm, ${30 - centres} mm   turns counterclockwise }`,
      upperGear: `gear upperGear on upper { module 4 mm   teeth ${teeth[0]}   width 5 mm   mark 270 deg   ${first} }`,
      lowerGear: `gear lowerGear on lower { module 4 mm   teeth ${teeth[1]}   width 5 mm   mark 90 deg   ${second} }`,
      camR: '',
      right: '',
      count: 'count off low',
      table: 'glyphs lamps { segments left   off = blank   low = left }',
    });

  it('is an error where tips run into roots, a warning below 0.12 of the module, and says nothing above', () => {
    const [found] = told(shifted(53.957, 'shift 1', 'shift 1'), 'tight-tips');
    expect(found).toMatchObject({
      severity: 'error',
      at: '1',
      about: ['upperGear', 'lowerGear', 'upperGear–lowerGear'],
    });
    expect(found.message).toBe(
      'the tips of upperGear and lowerGear reach 1.04 mm into each other’s roots; upperGear shift 0.41 and lowerGear shift 0.41 on centres 50.77 mm apart would do',
    );
    expect(found.fixes).toHaveLength(2);
    const close = told(shifted(51.299, 'shift 0.5', 'shift 0.5'), 'tight-tips');
    expect(close).toMatchObject([{ severity: 'warning', message: expect.stringContaining('within 0.3 mm') }]);
    expect(told(shifted(50.77, 'shift 0.41', 'shift 0.41'), 'tight-tips')).toEqual([]);
    expect(told(shifted(96, 'shift 0.3', 'shift -0.3', [12, 36]), 'tight-tips')).toEqual([]);
  });

  it('takes from each gear what it has to spare, and none that keeps its teeth from being undercut', () => {
    const [found] = told(shifted(54.55, 'shift 0.3', 'shift 1.9'), 'tight-tips');
    expect(found).toMatchObject({ at: '1.9', about: ['lowerGear', 'upperGear', 'upperGear–lowerGear'] });
    expect(found.fixes[0].title).toMatch(/^Give lowerGear shift 0.5\d and move|^Give lowerGear shift 0.5\d, and move/);
  });

  it('is told beside centres that are too wide, not where only too close a distance brings it about', () => {
    expect(codesIn(shifted(54.4, 'shift 1', 'shift 1'))).toEqual(['centre-distance', 'tight-tips']);
    expect(told(shifted(47.2, '', ''), 'tight-tips')).toEqual([]);
    expect(codesIn(shifted(53, 'shift 1', 'shift 1'))).toEqual(['centre-distance', 'tight-tips']);
  });

  it('is told once for all gears that one number shifts', () => {
    const text = shifted(53.957, '', '').replace('mesh upperGear', 'every gear { shift 1 }\n  mesh upperGear');
    expect(told(text, 'tight-tips')).toMatchObject([{ at: '1' }]);
  });

  it('tells tips that reach past the involute into the fillets, where roots are far enough', () => {
    const text = pair(200, 200, '', ['shift 1.25', 'shift 1.25']).replace('at 0 mm, -170 mm', 'at 0 mm, -172.39 mm');
    const found = findingsIn(text);
    expect(found.map(({ code }) => code)).toEqual(['tight-tips']);
    expect(found[0]).toMatchObject({ severity: 'warning', at: '1.25' });
    expect(found[0].message).toMatch(
      /^the tips of upperGear reach 0.12 mm past the involute of lowerGear, into the fillets at its roots; upperGear shift 1.04 and/,
    );
    expect(found[0].figures.past).toBeGreaterThan(0.03);
  });

  it('says nothing of what is half-written', () => {
    expect(told(shifted(48, 'shift', ''), 'tight-tips')).toEqual([]);
    expect(told(shifted(48, 'shift 1 mm', 'shift 1'), 'tight-tips')).toEqual([]);
  });
});

describe('pointed-teeth', () => {
  it('is a warning below a fifth of the module, an error where both flanks meet, and says nothing above', () => {
    const shifted = (shift: string) => pair(12, 48, '', [`shift ${shift}`, `shift -${shift}`]);
    const [thin] = told(shifted('0.7'), 'pointed-teeth');
    expect(thin).toMatchObject({ severity: 'warning', at: '0.7', about: ['upperGear'] });
    expect(thin.message).toMatch(
      /^the teeth of upperGear are 0\.\d+ mm thick at their tips \(at least 0\.4 mm, the line/,
    );
    const [pointed] = told(shifted('1'), 'pointed-teeth');
    expect(pointed).toMatchObject({ severity: 'error' });
    expect(pointed.message).toMatch(/^the teeth of upperGear come to a point below their tip circle /);
    expect(told(pair(20, 48), 'pointed-teeth')).toEqual([]);
  });

  it('knows the line of the nozzle: fine teeth have tips that it cannot lay', () => {
    const fine = (module: string) =>
      pair(60, 60)
        .replaceAll('module 1 mm', `module ${module}`)
        .replace('at 0 mm, -30 mm', `at 0 mm, ${30 - 60 * Number.parseFloat(module)} mm`);
    expect(told(fine('1 mm'), 'pointed-teeth')).toEqual([]);
    expect(told(fine('0.5 mm'), 'pointed-teeth')).toMatchObject([
      { severity: 'warning', at: '0.5 mm', about: ['upperGear', 'lowerGear'], fixes: [] },
    ]);
  });

  it('is not told beside tips that reach the roots, which the same shift makes', () => {
    const tips = codesIn(pair(12, 12, '', ['shift 1', 'shift 1']).replace('at 0 mm, 18 mm', 'at 0 mm, 16.51 mm'));
    expect(tips).toEqual(['tight-tips']);
  });

  it('says nothing of what is half-written', () => {
    expect(told(pair(12, 48, '', ['shift', 'shift -0.8']), 'pointed-teeth')).toEqual([]);
    expect(told(pair(12, 48, '', ['shift 0.8   pressure angle 20 mm', '']), 'pointed-teeth')).toEqual([]);
  });
});

describe('tight-fit', () => {
  const put = (from: string, to: string) => {
    expect(berth.split(from)).toHaveLength(2);
    return berth.replace(from, to);
  };
  const bearing = 'turns clockwise   key dee   bearing 10 mm clearance 0.2 mm';

  it('is told once for all that share a value', () => {
    const [found, ...others] = findingsIn(put('fit 0.2 mm', 'fit 0 mm'));
    expect(others).toEqual([]);
    expect(found.message).toBe(
      'the fit of a, b, f, g, d, c and e leaves 0 mm a side, and a running fit of the process needs 0.2 mm',
    );
  });

  it('knows the process of each part, and says nothing of what the process gives', () => {
    expect(told(put('fit 0.2 mm   ', ''), 'tight-fit')).toEqual([]);
    expect(told(put('fit 0.2 mm', 'fit 0.15 mm   made with fineFilament'), 'tight-fit')).toEqual([]);
    expect(told(put('fit 0.2 mm', 'fit 0.15 mm'), 'tight-fit')).toHaveLength(1);
  });

  it('asks less of a key than of a bearing, and nothing of a huge clearance', () => {
    expect(told(put(bearing, bearing.replace('0.2 mm', '0.1 mm')), 'tight-fit')).toMatchObject([{ at: '0.1 mm' }]);
    expect(told(put('outer 18 mm   clearance 0.1 mm', 'outer 18 mm   clearance 0 mm'), 'tight-fit')).toHaveLength(1);
    expect(told(put(bearing, bearing.replace('0.2 mm', '900 mm')), 'tight-fit')).toEqual([]);
  });

  it('says nothing of what is half-written', () => {
    for (const value of ['', '0.1', '0.1 deg', 'mm'])
      expect(told(put('fit 0.2 mm', `fit ${value}`), 'tight-fit')).toEqual([]);
  });
});

describe('a stated flank wider than a step', () => {
  it('is blamed for what a shorter one mends, and the ends of the lobe for the rest', () => {
    const text = lampBoard({
      count: 'count off off off off high high off off',
      everyCam: 'every cam { base 20 mm   travel 40 deg }',
      camL: 'cam camL on axle level 1 drives left { lobe from 10 deg to 60 deg flank 90 deg }',
    });
    const findings = findingsIn(text);
    const [long] = findings.filter(({ code }) => code === 'long-travel');
    expect(long.message).toContain('so bar left still moves');
    expect(findings.map(({ code }) => code)).toContain('unreachable-symbol');
  });
});
