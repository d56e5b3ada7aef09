/** What plays: bars that may stop or stand half-shown, and fits so loose that they alone spoil what is read. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { analyse } from '../../../server/analysis.ts';
import { proveFix } from '../../../server/fixes.ts';
import { findingsIn } from './findings.ts';

const sign = readFileSync('examples/berth-sign.lobe', 'utf8');
const changed = (...pairs: readonly (readonly [string, string])[]) =>
  pairs.reduce((text, [from, to]) => {
    expect(text).toContain(from);
    return text.replaceAll(from, to);
  }, sign);
const about = (text: string) =>
  findingsIn(text).filter(({ code }) => ['short-rest', 'loose-fit', 'half-shown'].includes(code));

describe('a numeral that plays', () => {
  it('as it is, is told nothing', () => {
    expect(about(sign)).toEqual([]);
  });

  it('a little more, is told what may happen at worst, once, with what adds most', () => {
    const [finding, ...more] = about(changed(['outer 18 mm   clearance 0.1 mm', 'outer 18 mm   clearance 0.16 mm']));
    expect(more).toEqual([]);
    expect(finding).toMatchObject({ code: 'short-rest', severity: 'information', at: '0.16 mm' });
    expect(finding!.figures.from).toEqual(
      expect.arrayContaining(['key under stepper', 'key under upperGear', 'key under lowerGear']),
    );
    // The cams of the leading shaft have shorter ways: they keep their places.
    expect(finding!.about).toEqual(expect.arrayContaining(['d', 'c', 'e', 'dee']));
    expect(finding!.about).not.toContain('a');
  });

  it('much more, is warned: the root of the sum of squares is over the margin', () => {
    const found = about(changed(['outer 18 mm   clearance 0.1 mm', 'outer 18 mm   clearance 0.36 mm']));
    // By itself it lets bars stand off too far; how cams rest is another matter.
    expect(found.map(({ code }) => code)).toEqual(['loose-fit', 'short-rest']);
    const [, finding] = found;
    expect(finding).toMatchObject({ severity: 'warning', at: '0.36 mm' });
    expect(finding!.figures.rss).toBeGreaterThan(finding!.figures.margin as number);
    expect(finding!.message).toMatch(/key under \w+ ±3\.82°/);
  });

  it('by one fit alone more than its margin, is told that fit, and nothing that follows from it', () => {
    const text = changed(['outer 18 mm   clearance 0.1 mm', 'outer 18 mm   clearance 0.8 mm']);
    const findings = about(text);
    expect(findings.map(({ code, at }) => `${code} ${at}`)).toContain('loose-fit 0.8 mm');
    expect(findings.filter(({ code }) => code === 'short-rest')).toEqual([]);
  });

  it('in its ratchet, is told so there', () => {
    const [finding] = about(changed(['play 0.5 deg', 'play 8 deg']));
    expect(finding).toMatchObject({ code: 'short-rest', severity: 'warning', at: '8 deg' });
    expect(finding!.about).toEqual(expect.arrayContaining(['a', 'b', 'c', 'd', 'e', 'f', 'g']));
  });

  it('on a shaft that gives, is told so, and still which clearance would do', () => {
    const [finding] = about(
      changed(
        ['outer 18 mm   clearance 0.1 mm', 'outer 3.4 mm   clearance 0.1 mm'],
        ['assembled greased', 'assembled dry'],
      ),
    ).filter(({ code }) => code === 'short-rest');
    expect(finding!.figures.from).toEqual(expect.arrayContaining([expect.stringMatching(/^wind-up of /)]));
  });

  it('where nothing holds it, is told how far a push leaves it ahead, apart from the spread', () => {
    const loose = about(changed(['   hold 60 Nmm', ''], ['stroke 8.2 mm', 'stroke 9.9 mm']));
    expect(loose.map(({ code }) => code)).toEqual(['short-rest']);
    expect(loose[0]!.message).toContain('ahead of it, as push button goes further than the step');
    expect(loose[0]!.figures.ahead).toBeGreaterThan(5);
    expect(loose[0]!.figures.rss).toBeLessThan(3);
  });
});

describe('edges and clearances across a cam', () => {
  it('are more than a short stroke can lack', () => {
    const [finding, ...more] = about(changed(['stroke 3.5 mm', 'stroke 2.5 mm']));
    expect(more).toEqual([]);
    expect(finding).toMatchObject({ code: 'half-shown', severity: 'warning', at: '2.5 mm' });
    expect(finding!.figures.rss).toBeCloseTo(Math.sqrt(0.07), 9);
    expect(finding!.figures.margin).toBeCloseTo(0.25, 9);
    expect(finding!.message).toContain('stroke 2.7 mm');
  });

  it('of a bearing alone are told as that', () => {
    const findings = about(changed(['bearing 10 mm clearance 0.2 mm', 'bearing 10 mm clearance 0.5 mm']));
    expect(findings.map(({ code, at }) => `${code} ${at}`)).toEqual(['loose-fit 0.5 mm', 'loose-fit 0.5 mm']);
  });
});

const narrow: string = '\nprocess own { undersize 0.1 mm }\n';
const wideSpread: string = '\nprocess own { undersize 0.2 mm   spread 0.14 mm }\n';

describe('what is offered', () => {
  const services = createLobeServices();

  it('where a push leaves the train ahead: a stroke, and a hold, both true', () => {
    const text = changed(['   hold 60 Nmm', ''], ['stroke 8.2 mm', 'stroke 9.9 mm']);
    const document = readDesign(services, text);
    const analysis = analyse(document, services.shared.workspace.LangiumDocuments);
    const scene = { document, analysis, designOf: () => undefined, read: () => undefined };
    const finding = analysis.findings.find(({ code }) => code === 'short-rest')!;
    const proved = finding.fixes.flatMap((fix) => proveFix(finding, fix, scene)?.title ?? []);
    expect(proved).toEqual([
      expect.stringMatching(/^Give button stroke \d/),
      expect.stringMatching(/^Give stepper hold \d+ Nmm$/),
    ]);
    for (const words of ['of button', 'of stepper']) expect(finding.message).toContain(words);
  });

  it.each([
    ['short-rest', 'outer 18 mm   clearance 0.1 mm', 'outer 18 mm   clearance 0.16 mm'],
    ['short-rest', 'play 0.5 deg', 'play 8 deg'],
    ['half-shown', 'stroke 3.5 mm', 'stroke 2.5 mm'],
    ['loose-fit', 'bearing 10 mm clearance 0.2 mm', 'bearing 10 mm clearance 0.5 mm'],
    ['short-rest', 'outer 18 mm   clearance 0.1 mm', 'outer 18 mm   clearance 0.22 mm', narrow],
    ['loose-fit', 'bearing 10 mm clearance 0.2 mm', 'bearing 10 mm clearance 0.55 mm', narrow],
    ['tight-fit', 'outer 18 mm   clearance 0.1 mm', 'outer 18 mm   clearance 0.12 mm', narrow],
    ['tight-fit', 'bearing 10 mm clearance 0.2 mm', 'bearing 10 mm clearance 0.21 mm', wideSpread],
    ['tight-fit', 'bearing 10 mm clearance 0.2 mm', 'bearing 10 mm', wideSpread],
  ] as const)('for %s is true', (code, from, to, process?: string) => {
    const own = process ? ([['made with filament', 'made with own']] as const) : [];
    const text = `${changed([from, to], ...own)}${process ?? ''}`;
    const document = readDesign(services, text);
    const analysis = analyse(document, services.shared.workspace.LangiumDocuments);
    const scene = { document, analysis, designOf: () => undefined, read: () => undefined };
    const found = analysis.findings.filter((finding) => finding.code === code);
    expect(found.length).toBeGreaterThan(0);
    const proved = found.flatMap((finding) => finding.fixes.flatMap((fix) => proveFix(finding, fix, scene) ?? []));
    expect(proved.map(({ title }) => title)).not.toEqual([]);
  });
});
