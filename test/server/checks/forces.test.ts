/** Springs, pushes and pawls: what is found of them, and that what is offered mends it. */
import { describe, expect, it } from 'vitest';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { analyse } from '../../../server/analysis.ts';
import { banded, lampBoard, pushedBoard } from '../../../server/checks/examples.ts';
import { pages } from '../../../server/checks/index.ts';
import { proveFix } from '../../../server/fixes.ts';
import { reckon } from '../../../server/reckon/figures.ts';
import { mechanismsIn } from '../../designs.ts';
import { codesIn, findingsIn, unmarked } from './findings.ts';

const services = createLobeServices();
const documents = services.shared.workspace.LangiumDocuments;

/** Titles of the fixes of a code that are offered in a text, and of those that are proved. */
function fixesIn(text: string, code: string) {
  const document = readDesign(services, text);
  const analysis = analyse(document, documents);
  const scene = { document, analysis, designOf: () => document.parseResult.value, read: () => undefined };
  const offered = analysis.findings
    .filter((finding) => finding.code === code)
    .flatMap((finding) => finding.fixes.map((fix) => ({ finding, fix })));
  return {
    offered: offered.map(({ fix }) => fix.title),
    proved: offered.filter(({ finding, fix }) => proveFix(finding, fix, scene)).map(({ fix }) => fix.title),
  };
}

const told = (text: string, code: string) => findingsIn(text).filter((one) => one.code === code);
const forces = [
  'contrary-spring',
  'tired-spring',
  'short-push',
  'double-step',
  'long-stroke',
  'tired-arm',
  'slack-band',
  'untouched-anchor',
];

describe.each(pages.filter(({ code }) => forces.includes(code)).map((page) => [page.code, page] as const))(
  '%s',
  (code, { examples }) => {
    it.each(examples.filter(({ text }) => text.includes('«')).map(({ title, text }) => [title, text] as const))(
      'every fix that its page’s example offers is true: %s',
      (_, marked) => {
        const { offered, proved } = fixesIn(unmarked(marked).text, code);
        expect(offered.length > 0).toBe(code !== 'untouched-anchor');
        expect(proved).toEqual(offered);
      },
    );
  },
);

describe('a push', () => {
  const push = (sizes: string, ratchet?: string) => pushedBoard(`push button turns axle { ${sizes} }`, ratchet);

  it('says what would do, in stroke and arm', () => {
    const text = push('arm 14 mm   start -17 deg   stroke 7 mm');
    const [found] = told(text, 'short-push');
    expect(found).toMatchObject({
      severity: 'error',
      message:
        'one push of button turns axle by 28.98°, but a step is 30° and click may rest 0.5° from its place; stroke 8.1 mm would do',
    });
    expect(found!.figures).toMatchObject({ sweep: expect.closeTo(28.98, 2), step: expect.closeTo(30, 9) });
    expect(fixesIn(text, 'short-push').proved).toEqual(['Give button stroke 8.1 mm', 'Give button arm 12.1 mm']);
  });

  it('is a warning within the play, an error without a ratchet only where it is short of the step', () => {
    const within = 'arm 14 mm   start -17 deg   stroke 7.3 mm';
    expect(told(push(within), 'short-push')[0]!.severity).toBe('warning');
    expect(told(push(within, ''), 'short-push')).toEqual([]);
  });

  it('that starts late is told to start earlier, where no stroke alone would do', () => {
    const text = push('arm 14 mm   start 70 deg   stroke 0.5 mm');
    expect(told(text, 'short-push')[0]!.message).toMatch(/; start -17 deg and stroke 8\.\d mm would do$/);
    expect(fixesIn(text, 'short-push').proved).toEqual(['Push button as far before as behind the middle']);
  });

  it('of nothing is no value', () => {
    expect(codesIn(push('arm 14 mm   start -17 deg   stroke 0 mm'))).toContain('bad-value');
    expect(codesIn(pushedBoard('limits { push 0 N }'))).toContain('bad-value');
  });

  it('is not told of where the train is at fault', () => {
    const text = push('arm 14 mm   start -17 deg   stroke 7 mm', 'ratchet click on axle { teeth 10 }');
    const codes = codesIn(text);
    expect(codes).toContain('step-mismatch');
    expect(codes).not.toContain('short-push');
  });

  it('that turns another shaft than the ratchet’s has the play brought to it', () => {
    const text = `mechanism Geared {
      glyphs lamps
      count off low high times 4
      shaft hand { at 0 mm, 45 mm   turns clockwise }
      shaft drum { at 0 mm, 0 mm   leads }
      gear handGear on hand { module 1 mm   teeth 30   width 5 mm }
      gear drumGear on drum { module 1 mm   teeth 60   width 5 mm }
      mesh handGear drumGear
      ratchet click on drum { teeth 12   play 1 deg }
      push button turns hand { arm 14 mm   start -30 deg   stroke 14.2 mm }
    }
    glyphs lamps { segments left   off = blank   low = left   high = left }`;
    // A step of the hand's shaft is 60°; the drum's play of 1° is 2° there, and the sweep 60.9°.
    const [found] = told(text, 'short-push');
    expect(found).toMatchObject({
      severity: 'warning',
      figures: { step: expect.closeTo(60, 6), least: expect.closeTo(62, 6) },
    });
    expect(found!.figures.sweep).toBeCloseTo(30 + (Math.asin(14.2 / 14 - 0.5) * 180) / Math.PI, 6);
  });
});

describe('a spring', () => {
  const spring = (sizes: string) => lampBoard({ more: `spring coils { returns left right   ${sizes} }` });

  it('past solid is an error, with the free length that would do', () => {
    const [found] = told(
      spring('coil compression   wire 0.3 mm   mean 5 mm   turns 10   free 20 mm   preload 0.9 N'),
      'tired-spring',
    );
    expect(found).toMatchObject({ severity: 'error', at: '20 mm' });
    expect(found!.message).toBe(
      'with its bar raised coils bears 1.1 N and must go 16.6 mm from its free length, but is solid after 16.4 mm; free 23 mm would do',
    );
  });

  it('is tired of no more than it is said to bear', () => {
    for (const sizes of [
      'rate 0.08 N/mm   preload 0.9 N',
      'coil extension   wire 0.3 mm   mean 5 mm   turns 30   preload 0.9 N',
    ])
      expect(told(spring(sizes), 'tired-spring')).toEqual([]);
  });

  it('of stated rate and coil is reckoned by its coil, and said to contradict itself', () => {
    const text = spring(
      'rate 0.08 N/mm   coil compression   wire 0.5 mm   mean 5 mm   turns 10   free 30 mm   preload 0.9 N',
    );
    expect(told(text, 'contrary-spring')[0]).toMatchObject({
      severity: 'warning',
      message: 'the coil of coils has a rate of 0.509 N/mm, but 0.08 N/mm is stated; the coil’s is reckoned with',
    });
    expect(told(text.replace('rate 0.08', 'rate 0.5'), 'contrary-spring')).toEqual([]);
  });

  it('half-written is missed, never contradicted', () => {
    const codes = codesIn(spring('coil compression   wire 5 mm   preload 0.9 N'));
    expect(codes).toEqual(['missing-value']);
  });
});

describe('a band', () => {
  it('that is too long says where it hangs loose, and the loop that would do', () => {
    // Hooks 76 mm apart with both bars down; each bar that rises by 3 mm makes both strands 3 mm longer.
    expect(told(banded('loop 155 mm'), 'slack-band')[0]).toMatchObject({
      severity: 'warning',
      message: 'band rim hangs loose at "off": its loop is 155 mm, its path there 152 mm; loop 116 mm would do',
      positions: [0],
    });
    expect(told(banded('loop 170 mm'), 'slack-band')[0]).toMatchObject({
      severity: 'error',
      message:
        'band rim hangs loose at every symbol: its loop is 170 mm, its path there as little as 152 mm; loop 116 mm would do',
    });
  });

  it('that is too short says where it is stretched most', () => {
    expect(told(banded('loop 45 mm'), 'tired-spring')[0]!.message).toBe(
      'at "high" band rim is stretched to 3.64 times its loop, more than 3; loop 55 mm would do',
    );
  });

  it('has a tension at every rest position', () => {
    const [mechanism] = mechanismsIn(banded('loop 100 mm'));
    const [{ path, stretch, tension }] = reckon(mechanism!).bands;
    expect(path).toEqual([152, 158, 164].map((length) => expect.closeTo(length, 9)));
    expect(stretch![0]).toBeCloseTo(1.52, 9);
    // One strand: 2.25 mm² · 0.4 MPa · (λ − λ⁻²), neo-Hookean.
    expect(tension![0]).toBeCloseTo(0.9 * (1.52 - 1.52 ** -2), 9);
  });

  it('that passes a post without touching it says so, and offers the other side', () => {
    const text = banded('loop 100 mm', 'around left, low, right').replace(
      'band rim',
      'post low { at 0 mm, 5 mm   radius 2 mm }\n  band rim',
    );
    expect(told(text, 'untouched-anchor')[0]).toMatchObject({
      severity: 'hint',
      message: 'band rim touches post low at no rest position',
    });
    expect(fixesIn(text, 'untouched-anchor').proved).toEqual(['Pass low on the other side']);
  });

  it('half-written lacks values, and says nothing more', () => {
    const codes = codesIn(
      banded('')
        .replace('section 1.5 mm by 1.5 mm', '')
        .replace(/hook at 38 mm, 0 mm/, ''),
    );
    expect(new Set(codes)).toEqual(new Set(['missing-value']));
  });
});

describe('friction', () => {
  it('over 1 is told at its number, once for all that use it', () => {
    const text = `${lampBoard({ glyphs: 'glyphs lamps\nmade with gummy' })}
material gum { friction 1.4   greased 0.1   pessimistic 0.6 }
process gummy { nozzle 0.4 mm   layer 0.2 mm   spread 0.1 mm   clearance 0.2 mm   wall 0.8 mm   drag 0.3 N   material gum }
`;
    const [found, ...others] = told(text, 'high-friction');
    expect(others).toEqual([]);
    expect(found).toMatchObject({ severity: 'warning', at: '1.4' });
    expect(found!.message).toBe(
      'friction 1.4 of gum is more than 1, under which hardly a follower slides; 0.3 is usual',
    );
  });
});
