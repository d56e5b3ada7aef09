import type { Sense } from '../../language/mechanism.ts';
import { at, type Check, fix, named, rewriting } from './check.ts';
import { gearedBoard } from './examples.ts';

export const turnDirection: Check = {
  code: 'turn-direction',
  severity: 'error',
  title: 'A shaft is said to turn against its meshes',
  means:
    'Two gears in mesh turn opposite ways. This shaft’s `turns` says otherwise than the way through the train. The ' +
    'motion is reckoned as `turns` says, so cams cut from it would run backwards on the built mechanism.',
  reckoned: 'The sign of the train: one change of sense for every mesh on the way from the leading shaft.',
  source: 'External spur gears; any machine design handbook.',
  worked: 'upper turns clockwise; one mesh away, lower turns counterclockwise; one more, clockwise again.',
  remedy: 'Correct `turns`, or leave it out on all shafts but one: it follows from the meshes.',
  examples: [
    { title: 'Both the same way', text: gearedBoard({ lower: 'shaft lower { at 0 mm, -30 mm   turns «clockwise» }' }) },
    { title: 'Left to the meshes', text: gearedBoard({ lower: 'shaft lower { at 0 mm, -30 mm }' }) },
  ],
  find(m, f) {
    const stated = f.shafts.flatMap((figure) => {
      const shaft = named(m.shafts, figure.name);
      return shaft?.turns && figure.ratio
        ? [{ shaft, figure, turns: shaft.turns, sign: Math.sign(figure.ratio.num) }]
        : [];
    });
    if (stated.length < 2) return [];
    // Which way the leading shaft turns by each statement; the odd one out is the mistake, the leading shaft's own word counts in a tie.
    const senseOf = (sense: Sense) => (sense === 'counterclockwise' ? 1 : -1);
    const votes = stated.map(({ turns, sign }) => senseOf(turns.value) * sign);
    const sum = votes.reduce((all, vote) => all + vote, 0);
    const leading = stated.findIndex(({ figure }) => figure.leads);
    const right = Math.sign(sum) || votes[Math.max(0, leading)];
    const witness = stated[votes.indexOf(right)];
    return stated.flatMap(({ shaft, figure, turns, sign }, i) => {
      if (votes[i] === right) return [];
      const due: Sense = right * sign > 0 ? 'counterclockwise' : 'clockwise';
      const meshes = Math.abs(named(f.shafts, witness.shaft.name)!.path.length - figure.path.length);
      return [
        {
          message: `shaft ${shaft.name} cannot turn ${turns.value} while ${witness.shaft.name} turns ${witness.turns.value}${
            meshes === 1 ? ', its neighbour in mesh' : ''
          }: by the meshes it turns ${due}`,
          place: turns.place,
          about: [shaft.name, witness.shaft.name],
          figures: { turns: turns.value, due },
          related: [at(witness.turns.place, `${witness.shaft.name} turns ${witness.turns.value}`)],
          fixes: [fix(`Let ${shaft.name} turn ${due}`, rewriting(turns, shaft, 'turns', due))],
        },
      ];
    });
  },
};
