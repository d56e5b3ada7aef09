import { isUnclear } from '../../language/mechanism.ts';
import { type Check, named } from './check.ts';
import { framedBoard } from './examples.ts';

const shaft = (bearing: string) =>
  `shaft «axle» { at 0 mm, 0 mm   turns clockwise   ${bearing} }`.replace(bearing ? /[«»]/g : /$^/, '');

export const unheldShaft: Check = {
  code: 'unheld-shaft',
  severity: 'error',
  title: 'A shaft that the frame carries nowhere, or at one end only',
  means:
    'The face plate and the back plate of a frame each carry a shaft’s journal. An error where neither does: the shaft says ' +
    'no bearing, or something passes where both its bearings would be. Information where one plate carries it alone: it is ' +
    'overhung, and leans by its bearing’s clearance over the length of one bore.',
  reckoned:
    'A bearing finds room where its bore, with a wall round it, and the boss that reaches to the shaft’s parts stay clear of ' +
    'all that moves over a whole turn.',
  source: 'Derived here; that an overhung shaft leans is common practice.',
  worked:
    'An idler at 37.5 mm, and a bar whose stem passes there between face plate and idler: the back plate carries it alone.',
  remedy: 'A `bearing` for the shaft; bars and stems that pass beside it; another place for it.',
  examples: [
    { title: 'A shaft without a bearing', text: framedBoard('frame { }', { shaft: shaft('') }) },
    { title: 'A shaft in two bearings', text: framedBoard('frame { }', { shaft: shaft('bearing 8 mm') }) },
  ],
  find(m, f) {
    if (!m.frame || !f.frame) return [];
    const { bearings } = f.frame;
    return f.shafts.flatMap(({ name }) => {
      const shaft = named(m.shafts, name);
      if (!shaft?.at || isUnclear(shaft, 'bearing')) return [];
      const plates = bearings.find((one) => one.shaft === name)?.plates ?? [];
      if (plates.length > 1 || !f.stack.parts.some((part) => part.kind === 'shaft' && part.name === name)) return [];
      if (!shaft.bearing) {
        return [
          { message: `the frame carries shaft ${name} nowhere: it says no bearing`, place: shaft.place, about: [name] },
        ];
      }
      if (plates.length === 0) {
        const message = `the frame carries shaft ${name} nowhere: something passes where both its bearings would be`;
        return [{ message, place: shaft.bearing.place, about: [name] }];
      }
      return [
        {
          severity: 'information' as const,
          message: `shaft ${name} is carried by the ${plates[0]} alone: something passes where its other bearing would be`,
          place: shaft.bearing.place,
          about: [name],
        },
      ];
    });
  },
};
