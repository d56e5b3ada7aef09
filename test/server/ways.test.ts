import { expect, it } from 'vitest';
import { createLobeServices, readDesign } from '../../language/services.ts';
import { analyse } from '../../server/analysis.ts';
import { applied, proveWays, type Scene } from '../../server/fixes.ts';

const services = createLobeServices();

const text = `mechanism Lamp {
  let long = 100 deg
  glyphs lamps
  count off off on on
  shaft axle { at 0 mm, 0 mm   turns clockwise }
  segment left { azimuth 180 deg   stroke 3 mm   nose 1.5 mm   bar 4 mm by 20 mm at -40 mm, 0 mm }
  segment right { azimuth 0 deg   stroke 3 mm   nose 1.5 mm   bar 4 mm by 20 mm at 40 mm, 0 mm }
  cam camL on axle level 1 drives left { base 20 mm   travel long }
  cam camR on axle level 2 drives right { base 20 mm   travel 60 deg }
}

glyphs lamps { segments left right   off = blank   on = left right }
`;

it('a value that is a lone name is mended on its part alone, or where the name is given', () => {
  const document = readDesign(services, text);
  const analysis = analyse(document, services.shared.workspace.LangiumDocuments);
  const scene: Scene = { document, analysis, designOf: () => undefined, read: () => undefined };
  const finding = analysis.findings.find(({ code }) => code === 'long-travel')!;
  const ways = finding.fixes.flatMap((fix) => proveWays(finding, fix, scene));
  expect(ways.map(({ title }) => title)).toEqual([
    'Shorten the travel to 90 deg',
    'Shorten the travel to 90 deg, by long for all that use it',
  ]);
  const [own, shared] = ways.map(({ files }) => applied(text, files[0]!.edits));
  expect(own).toBe(text.replace('travel long', 'travel 90 deg'));
  expect(shared).toBe(text.replace('long = 100 deg', 'long = 90 deg'));
});
