/** What to print, how it lies, and what to buy. */
import { grouped, list as listed } from '../../../checks/check.ts';
import { largeInWords, sideBySide } from '../../../reckon/parts/bed.ts';
import { processesOf } from '../../../reckon/parts/parts.ts';
import { mm, plain } from '../../chart/words.ts';
import { type Block, drawings, heading, list, table, text } from '../../document/document.ts';
import { partPicture } from '../pictures.tsx';
import type { Sheet } from '../sheet.ts';

export function printing({ view, prints, parts, beds, large, bought, unmade, unmarked }: Sheet): Block[] {
  const processes = [...processesOf(view.mechanism)].filter(([name]) => prints.some(({ process }) => process === name));
  return [
    heading(2, 'What to print and to buy'),
    ...(prints.length > 0
      ? [
          text(
            'Print every part once for each count, at its true size: clearances are in the shapes already. Lay it on the side that is named; support what juts out where a height is given.',
          ),
        ]
      : []),
    ...list(
      processes.map(
        ([name, { nozzle, layer, wall, spread, material }]) =>
          `${name}: nozzle ${mm(nozzle.value)}, layers of ${mm(layer.value)}, walls of ${mm(wall.value)} and more, edges true to ± ${mm(spread.value)}, material ${material.name}`,
      ),
    ),
    ...(beds.length > 1 ? [text(bedsInWords(beds))] : []),
    ...(large.length > 0 ? [text('No bed is large enough for these:'), ...list(large.map(largeInWords))] : []),
    ...table(
      'Parts to print',
      ['part', 'kind', 'count', 'bed', 'size, mm', 'layers', 'lies on its', 'support from', 'made with', 'fingerprint'],
      prints.map(({ name, kind, count, beds: on, size, layers, bed, overhangs, process, fingerprint }) => [
        name,
        kind,
        `${count}`,
        beds.length > 1 ? on.join(', ') : '',
        [size.x, size.y, size.z].map((side) => plain(side, 1)).join('\u00a0×\u00a0'),
        layers === undefined ? '' : plain(layers, 1),
        bed,
        overhangs.map((z) => mm(z).replace(' ', '\u00a0')).join(', '),
        processes.length > 1 ? process : '',
        fingerprint,
      ]),
    ),
    ...drawings(...parts.map((part) => partPicture(part, 104, 84))),
    ...table(
      'To buy',
      ['count', 'what'],
      bought.map(({ count, what }) => [`${count}`, what]),
    ),
    ...told('No shape is made of these, as the text stands:', unmade),
    ...told('Some marks find no room; tell these parts apart by their pictures:', unmarked),
  ];
}

/** "They take 3 beds: 1 and 2 of 220 by 220 mm (filament), 3 of 130 by 80 mm (resin). Export …" */
function bedsInWords(beds: Sheet['beds']): string {
  const alike = grouped(
    beds.map((bed, i) => ({ ...bed, number: `${i + 1}` })),
    ({ process }) => process,
  );
  const each = alike.map((same) => {
    const [{ process, size }] = same;
    return `${listed(same.map(({ number }) => number))} of ${sideBySide(size)} mm (${process})`;
  });
  const said = each.length > 1 ? `: ${each.join(', ')}` : ` of ${sideBySide(beds[0].size)} mm`;
  return `They take ${beds.length} beds${said}. Export writes a file for each, by the same numbers.`;
}

const told = (introduced: string, all: Sheet['unmade']): Block[] =>
  all.length > 0 ? [text(introduced), ...list(all.map(({ because }) => because))] : [];
