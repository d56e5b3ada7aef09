import type { Mechanism } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import type { Deadlock, Way } from '../reckon/parts/assembly.ts';
import { isAstray } from './bar-astray.ts';
import { type Check, fix, isUnique, list, named, setting } from './check.ts';
import { kin } from './clashes.ts';
import { lampBoard } from './examples.ts';

const shaft = 'shaft axle { at 0 mm, 0 mm   turns clockwise   bearing 8 mm }';
const right = (post: string) => `segment right { azimuth 0 deg   bar 4 mm by 20 mm at 40 mm, 0 mm   ${post} }`;

export const cannotAssemble: Check = {
  code: 'cannot-assemble',
  severity: 'error',
  title: 'A part that cannot be put in',
  means:
    'Parts go in one after the other, each straight on: from the front or the back, a bar also along its slide. A part that ' +
    'goes in neither before nor after another leaves the whole on the bench, however well it would turn.',
  reckoned:
    'The whole, as it stands at home, is taken apart: again and again a part that goes out one of its ways past all that is ' +
    'left; shafts only when they carry nothing more. Where nothing goes out, the part without which the rest comes apart ' +
    'is told, with one that it is locked with. Shapes are looked at on lines 0.2 mm apart; what overlaps by less than ' +
    '0.05 mm passes.',
  source: 'Taking apart to find how to put together is common practice in the planning of assembly; derived here.',
  worked:
    'The stem of `right` lies behind the flange of `camL`, its bar before it, and its post on the far side of the shaft: ' +
    'from the front `camL` stops the stem, from the back the bar, and along the slide it stops the post.',
  remedy:
    'Set the `post` to the side to which the bar rises, so that it slides in from outside; or give its cam the level ' +
    'nearest to the face, so that nothing lies before its stem.',
  late: true,
  notBeside: [
    'level-clash',
    'post-clash',
    'neighbour-clash',
    'coincident-shafts',
    'large-nose',
    'undercut-cam',
    'steep-cam',
    'twice-driven-segment',
    'unlike-segments',
    'wide-bar',
  ],
  examples: [
    {
      title: 'A post beyond the shaft',
      text: lampBoard({ shaft, right: right('post «4 mm by 4 mm at -28 mm, 14 mm»') }),
    },
    { title: 'A post on the side to which the bar rises', text: lampBoard({ shaft, right: right('') }) },
  ],
  find(m, f, told) {
    // What a mistake in one of the parts, or in a bar of the same piece, has brought about is told there.
    const own = (f.assembly?.deadlocks ?? []).filter(({ parts }) => {
      const names = kin(f, parts);
      return !told(...names) && !names.some((name) => isAstray(m, name));
    });
    return own.map((deadlock) => {
      const [name, other] = deadlock.parts;
      const segment = named(m.segments, name);
      const part = segment ?? named(m.cams, name) ?? named(m.gears, name) ?? named(m.shafts, name);
      return {
        message: `${name} can be put in neither before nor after ${other}: ${waysInWords(deadlock)}`,
        place: segment?.post?.place ?? part?.place ?? m.frame?.place ?? m.place,
        about: [name, other],
        figures: { closed: deadlock.closed.map(({ way }) => way) },
        related: [other].flatMap((one) => {
          const place = (named(m.segments, one) ?? named(m.cams, one) ?? named(m.gears, one) ?? named(m.shafts, one))
            ?.place;
          return place ? [{ place, message: `${one} is in its way` }] : [];
        }),
        fixes: swaps(m, f, deadlock),
      };
    });
  },
};

const from: Readonly<Record<Way, string>> = {
  front: 'from the front',
  slide: 'along its slide',
  back: 'from the back',
};

/** More parts in one way than this are not named. */
const most = 3;

function waysInWords({ closed }: Deadlock): string {
  const said = closed.map(({ way, by }) => {
    const names = by.filter(isUnique);
    const more = names.length > most ? [...names.slice(0, most - 1), `${names.length - most + 1} more`] : names;
    return `${list(more)} ${from[way]}`;
  });
  return `it would have to pass ${list(said, 'or')}`;
}

/** To give the bar the level of the foremost cam that lies before its stem, and that cam the bar's. */
function swaps(m: Mechanism, f: Figures, { parts: [name], closed }: Deadlock) {
  const own = named(m.cams, f.cams.find(({ segments }) => segments[0] === name)?.name);
  const before = closed.find(({ way }) => way === 'front')?.by ?? [];
  const [foremost] = m.cams
    .filter((cam) => before.includes(cam.name) && cam.shaft?.name === own?.shaft?.name && cam.level)
    .sort((a, b) => a.level!.value - b.level!.value);
  if (!own?.level || !foremost || foremost.level!.value >= own.level.value) return [];
  return [
    fix(
      `Swap the levels of ${own.name} and ${foremost.name}`,
      setting(own.name, 'level', `${foremost.level!.value}`),
      setting(foremost.name, 'level', `${own.level.value}`),
    ),
  ];
}
