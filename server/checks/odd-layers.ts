import type { Given, Mechanism, Part, Process } from '../../language/mechanism.ts';
import { type Check, fix, list, millimetres, plain, rewriting, roundDown, roundUp } from './check.ts';
import { gearedBoard, lampBoard } from './examples.ts';

export const oddLayers: Check = {
  code: 'odd-layers',
  severity: 'information',
  title: 'A thickness that is no whole number of layers',
  means:
    'A part is printed in layers, so that a thickness between two whole numbers of them comes out as one or the other: up to ' +
    'half a layer off, and in a stack as often as it stands in it. That is taken from, or added to, what the parts have of play along ' +
    'their shaft. Of thicknesses that the text gives; those that follow from others are not looked at.',
  reckoned:
    'Thickness and flange of cams, width of gears and of a pawl’s arm, which its wheel has too, each over the process’s ' +
    '`layer`: whole to a thousandth of one.',
  source: 'Common practice; the layer is the process’s.',
  worked: 'A cam 2.5 mm thick takes 12.5 layers of 0.2 mm: it comes out 2.4 or 2.6 mm thick.',
  remedy: 'The next whole number of layers.',
  alsoOn: (rest) => `, and so it is for ${list(rest.map(({ about }) => about[0]))}`,
  examples: [
    {
      title: 'Half a layer too much',
      text: lampBoard({ camL: 'cam camL on axle level 1 drives left { thickness «2.5 mm» }' }),
    },
    {
      title: 'A gear of 5.1 mm',
      text: gearedBoard({
        upperGear: 'gear upperGear on upper { module 1 mm   teeth 60   width «5.1 mm»   mark 270 deg }',
      }),
    },
    {
      title: 'Thirteen layers',
      text: lampBoard({ camL: 'cam camL on axle level 1 drives left { thickness 2.6 mm }' }),
    },
  ],
  find(m) {
    return thicknessesOf(m).flatMap(({ part, word, given, value, process }) => {
      const layer = process.layer.value;
      const layers = value / layer;
      if (!(layer > 0) || !(value > 0) || Math.abs(layers - Math.round(layers)) < 1e-3) return [];
      const [below, above] = [roundDown(value, layer), roundUp(value, layer)].map((length) => millimetres(length, 3));
      const printed = layers < 1 ? `it comes out ${above}, or not at all` : `it comes out ${below} or ${above}`;
      return [
        {
          message: `${word} ${millimetres(value, 3)} of ${part.name} is ${plain(layers, 2)} layers of ${millimetres(layer, 3)}: ${printed}; ${word} ${above} would do`,
          place: given.place,
          about: [part.name],
          figures: { layers, layer, thickness: value },
          fixes:
            word === 'arm width'
              ? []
              : [fix(`Give ${part.name} ${word} ${above}`, rewriting(given as Given<number>, part, word, above))],
        },
      ];
    });
  },
};

interface Thickness {
  readonly part: Part;
  readonly word: string;
  readonly given: Given<unknown>;
  readonly value: number;
  readonly process: Process;
}

function thicknessesOf(m: Mechanism): Thickness[] {
  const all = [
    ...m.cams.flatMap((cam) =>
      [
        { part: cam, word: 'thickness', given: cam.thickness },
        { part: cam, word: 'flange', given: cam.flange },
      ].map((one) => ({ ...one, value: one.given.value })),
    ),
    ...m.gears.flatMap((gear) =>
      gear.width ? [{ part: gear, word: 'width', given: gear.width, value: gear.width.value }] : [],
    ),
    ...m.ratchets.flatMap((ratchet) =>
      ratchet.arm ? [{ part: ratchet, word: 'arm width', given: ratchet.arm, value: ratchet.arm.value.width }] : [],
    ),
  ];
  return all
    .filter(({ given }) => given.by === 'stated' || given.by === 'every')
    .map((one) => ({ ...one, process: one.part.process }));
}
