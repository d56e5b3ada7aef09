import { isUnclear } from '../../language/mechanism.ts';
import { type Check, type Found, grouped, millimetres, named } from './check.ts';
import { framedBoard } from './examples.ts';

/** A rail guides well from so many widths of what slides in it (common practice). */
const guided = 1;

const coils = (said: string, spring: string) =>
  framedBoard(`frame { }\nspring ${spring} { returns left right   ${said} }`);

export const unheldFitting: Check = {
  code: 'unheld-fitting',
  severity: 'warning',
  title: 'A spring, a pawl or a button that the frame does not hold',
  means:
    'A frame holds the fixed end of every spring, the foot of every pawl, and guides every button. Here one of them finds ' +
    'no place that is clear of all that moves, or its sizes leave nothing to be made: you have to hold it yourself.',
  reckoned:
    'Springs of compression sit between a seat on the bar and one on a plate, with a nib in either end; springs of ' +
    'extension hang on pegs with a groove of the wire’s size. Places are tried parallel to the slide, the nearest first, up to ' +
    'where friction in the guide, 2·μ·s/L for a spring that stands s beside the slide of a guide L long, would take half of its ' +
    'pull. A pawl is tried at every tooth. All of it keeps the process’s clearance from what moves over a whole turn.',
  source:
    'Derived here; the friction by the lever s over the length of the guide, and the sizes of coils, as handbooks have them.',
  worked:
    'A spring of 0.01 N/mm that is to press with 3 N has to be 300 mm shorter than when it is free: no usual coil is.',
  remedy:
    'Another coil (`coil`, `wire`, `mean`, `turns`, `free`); a place for its end at the bar (`hook`); a longer guide; ' +
    'another arm for a pawl or a push; or a band.',
  notBeside: [
    'missing-value',
    'contrary-spring',
    'tired-spring',
    'guide-jam',
    'undercut-cam',
    'steep-cam',
    'large-nose',
    'post-clash',
    'neighbour-clash',
    'level-clash',
    'bar-astray',
  ],
  examples: [
    { title: 'A spring as soft as no coil', text: coils('rate 0.01 N/mm   preload 3 N', '«coils»') },
    { title: 'A spring that there is', text: coils('rate 0.08 N/mm   preload 0.9 N', 'coils') },
  ],
  find(m, f, told) {
    const { frame } = f;
    if (!m.frame || !frame) return [];
    // What else is wrong with a bar may be all that leaves its spring no room.
    const unsprung = frame.unsprung.filter(({ segment }) => !told(segment));
    const springs = grouped(unsprung, ({ spring, because }) => `${spring} ${because}`).flatMap(
      ([first, ...rest]): Found[] => {
        const spring = named(m.springs, first.spring);
        if (!spring || isUnclear(spring, 'returns')) return [];
        const bars = [first, ...rest].map(({ segment }) => segment);
        return [
          {
            message: `the frame holds no spring ${spring.name} for ${bars.join(', ')}: ${first.because}`,
            place: spring.place,
            about: [spring.name, ...bars],
          },
        ];
      },
    );
    const pawls = frame.unseated.flatMap(({ ratchet: name, because }): Found[] => {
      const ratchet = named(m.ratchets, name);
      return ratchet
        ? [{ message: `the frame holds no pawl for ${name}: ${because}`, place: ratchet.place, about: [name] }]
        : [];
    });
    const buttons = frame.rails.flatMap(({ push: name, long, wide, stopped }): Found[] => {
      const push = named(m.pushes, name);
      if (!push || (stopped && long >= guided * wide)) return [];
      const lacks = stopped ? `over ${millimetres(long)} alone` : 'but leaves it to fall out towards the face';
      return [
        {
          message: `the frame guides ${name}, ${millimetres(wide)} wide, ${lacks}: something passes where more would be`,
          place: push.place,
          about: [name],
          figures: { long, wide },
        },
      ];
    });
    return [...springs, ...pawls, ...buttons];
  },
};
