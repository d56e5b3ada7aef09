/** What is found of frames, and that what is offered mends it. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { analyse } from '../../../server/analysis.ts';
import { framedBoard } from '../../../server/checks/examples.ts';
import { applied, proveFix } from '../../../server/fixes.ts';
import { codesIn, findingsIn } from './findings.ts';

const services = createLobeServices();
const documents = services.shared.workspace.LangiumDocuments;
const withFrame = (name: string, frame: string) =>
  readFileSync(`examples/${name}.lobe`, 'utf8')
    .replace(/\n {2}frame \{[^}]*\}/, '')
    .replace('\n  every segment', `\n  ${frame}\n  every segment`);

describe('a frame with nothing said', () => {
  it('is clean on designs that were not written for it', () => {
    for (const name of ['berth-sign', 'score-tally']) {
      const standing = findingsIn(withFrame(name, 'frame { }')).filter(({ accepted }) => accepted === undefined);
      expect(
        standing.map(({ code, message }) => `${code} ${message}`),
        name,
      ).toEqual([]);
    }
  });

  it('tells what finds no room, and the one cause alone', () => {
    const found = findingsIn(withFrame('lock-countdown', 'frame { }'));
    expect(found.map(({ code, about }) => `${code} ${about[0]}`)).toEqual([
      'unheld-shaft carrier',
      'key-ambiguous square8',
      'shaft-drift carrier',
      'wide-bar g',
    ]);
    const [overhung] = found.filter(({ code }) => code === 'unheld-shaft');
    expect(overhung).toMatchObject({
      severity: 'information',
      message: 'shaft carrier is carried by the back plate alone: something passes where its other bearing would be',
    });
  });

  it('tells posts for a band that its cams sweep away', () => {
    const found = findingsIn(withFrame('weir-gauge', 'frame { }')).filter(({ code }) => code === 'unheld-post');
    expect(found.map(({ about }) => about.join(' '))).toEqual([
      'northeast camA',
      'northwest camA',
      'southwest camD',
      'southeast camD',
    ]);
  });
});

describe('what is offered', () => {
  const look = (text: string) => {
    const document = readDesign(services, text);
    return { document, analysis: analyse(document, documents) };
  };
  /** The codes that stand after a finding's first fix. */
  const mended = (text: string, code: string): string[] => {
    const { document, analysis } = look(text);
    const scene = { document, analysis, designOf: () => document.parseResult.value, read: () => undefined };
    const finding = analysis.findings.find((one) => one.code === code)!;
    const [proved] = finding.fixes.flatMap((fix) => proveFix(finding, fix, scene) ?? []);
    return codesIn(applied(text, proved!.files[0]!.edits));
  };

  it('is a place for a screw that stands in the way', () => {
    const text = withFrame('score-tally', 'frame { screw at 15 mm, 71.5 mm   screw at -44 mm, -79 mm }');
    expect(mended(text, 'screw-clash')).not.toContain('screw-clash');
  });

  it('is a plate that holds the heads', () => {
    expect(mended(withFrame('score-tally', 'frame { thickness 2 mm }'), 'thin-plate')).not.toContain('thin-plate');
  });

  it('is a plate that screws go through', () => {
    expect(mended(framedBoard('frame { thickness 27 mm }'), 'unscrewed-frame')).not.toContain('unscrewed-frame');
  });
});

it('a frame without shafts, bars or cams is no error of its own', () => {
  expect(() => findingsIn('mechanism Bare { frame { } }')).not.toThrow();
  expect(() =>
    findingsIn('mechanism Half { frame { thickness }  shaft a  cam c on a level 1 drives s  segment s }'),
  ).not.toThrow();
});

describe('plates larger than the bed', () => {
  const small = withFrame('score-tally', 'frame { margin 30 mm   made with small }').concat(
    '\nprocess small { bed 180 mm by 180 mm }\n',
  );

  it('are told with the margin that would do, which does', () => {
    const document = readDesign(services, small);
    const analysis = analyse(document, documents);
    const [large, ...others] = analysis.findings.filter(({ code }) => code === 'large-part');
    expect(others).toEqual([]);
    expect(large).toMatchObject({ severity: 'warning', about: ['frame', 'face plate', 'back plate'] });
    expect(large!.message).toMatch(/, or margin [\d.]+ mm$/);
    const scene = { document, analysis, designOf: () => document.parseResult.value, read: () => undefined };
    expect(large!.fixes.map((fix) => proveFix(large!, fix, scene) !== undefined)).toEqual([true]);
  });

  it('of a process that does not say how large its bed is are worth no more than a word', () => {
    const [large] = findingsIn(withFrame('score-tally', 'frame { margin 40 mm }')).filter(
      ({ code }) => code === 'large-part',
    );
    expect(large).toMatchObject({
      severity: 'information',
      message: expect.stringContaining('say the `bed` of yours'),
    });
  });
});
