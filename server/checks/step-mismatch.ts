import { turn } from '../reckon/motion/angles.ts';
import { at, type Check, degrees, fix, named, rewriting } from './check.ts';
import { lampBoard } from './examples.ts';

export const stepMismatch: Check = {
  code: 'step-mismatch',
  severity: 'error',
  title: 'The ratchet does not step from rest to rest',
  means:
    'One tooth of the ratchet turns the leading shaft by another angle than lies between two rest positions: the numeral ' +
    'stops between symbols, or skips some.',
  reckoned:
    'teeth = n·q/|p|, with n rest positions a turn and a ratchet shaft that makes p/q turns a turn of the leading one (p/q = 1 on the leading shaft itself): 360°/teeth is its step.',
  source: 'Derived here.',
  worked: 'Twelve rest positions need a step of 30°. A wheel of ten teeth steps 36°; twelve teeth are due.',
  remedy: 'Give the ratchet as many teeth as there are rest positions; or count the symbols several `times` a turn.',
  notBeside: ['shaft-drift', 'short-count', 'long-count'],
  examples: [
    { title: 'Too many teeth', text: lampBoard({ more: 'ratchet click on axle { teeth «10» }' }) },
    { title: 'A tooth for every rest', text: lampBoard({ more: 'ratchet click on axle { teeth 3 }' }) },
  ],
  find(m, f, told) {
    const { count } = m;
    if (!count || told(m.name)) return [];
    const positions = count.symbols.length * count.times;
    return m.ratchets.flatMap((ratchet) => {
      const shaft = named(f.shafts, ratchet.shaft?.name);
      const { teeth } = ratchet;
      if (!shaft?.ratio || !teeth || !(teeth.value > 0) || !positions || told(shaft.name)) return [];
      const size = Math.abs(shaft.ratio.num);
      const due = (positions * shaft.ratio.den) / size;
      if (teeth.value * size === positions * shaft.ratio.den) return [];
      const times = (teeth.value * size) / shaft.ratio.den / count.symbols.length;
      const last = count.symbols.at(-1)!.place;
      return [
        {
          message: `ratchet ${ratchet.name} with ${teeth.value} teeth steps ${shaft.name} by ${degrees(turn / teeth.value, 2)}, but ${positions} rest positions lie ${degrees(turn / due, 2)} apart${
            Number.isInteger(due) ? `; ${due} teeth would do` : ''
          }`,
          place: teeth.place,
          about: [ratchet.name, shaft.name],
          figures: { teeth: teeth.value, due, step: 360 / teeth.value },
          related: [at(count.place, `${positions} rest positions a turn`)],
          fixes: [
            ...(Number.isInteger(due)
              ? [fix(`Give ${ratchet.name} ${due} teeth`, rewriting(teeth, ratchet, 'teeth', String(due)))]
              : []),
            ...(count.times === 1 && times > 1 && Number.isInteger(times)
              ? [
                  fix(`Count the symbols ${times} times a turn`, {
                    do: 'replace',
                    place: { ...last, from: last.to },
                    text: ` times ${times}`,
                  }),
                ]
              : []),
          ],
        },
      ];
    });
  },
};
