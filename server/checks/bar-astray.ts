import type { Cam, Mechanism } from '../../language/mechanism.ts';
import { wrapped } from '../reckon/motion/angles.ts';
import { at, azimuth, type Check, degreesWritten, fix, millimetres, named, rewriting } from './check.ts';
import { isAccepted } from './clashes.ts';
import { lampBoard } from './examples.ts';

export const barAstray: Check = {
  code: 'bar-astray',
  severity: 'hint',
  title: 'A bar lies opposite its slide',
  means:
    'Seen from the shaft of its cam the bar’s centre lies on the side away from which its follower slides. It can be ' +
    'built so, with a stem that reaches back past the shaft, but mostly an azimuth or a coordinate has the wrong sign.',
  reckoned:
    '(x − xₛ)·cos φ + (y − yₛ)·sin φ < 0, with the bar’s centre (x, y), the shaft’s (xₛ, yₛ) and the azimuth φ.',
  source: 'Derived here.',
  worked: 'A shaft at 0 mm, 35 mm, a bar at −31 mm, 35 mm and an azimuth of 0°: −31 mm along the slide.',
  remedy: 'Turn the azimuth about, or mirror the bar’s place.',
  examples: [
    {
      title: 'A sign lost',
      text: lampBoard({ left: 'segment left { azimuth 180 deg   bar «4 mm by 20 mm at 40 mm, 0 mm» }' }),
    },
    { title: 'On its own side', text: lampBoard() },
  ],
  find(m) {
    return m.cams.flatMap((cam) =>
      cam.segments.flatMap(({ name }) => {
        const stray = strayOf(m, cam, name);
        if (!stray) return [];
        const { segment, shaft, along } = stray;
        const { value: direction } = segment.azimuth!;
        return [
          {
            message: `bar ${name} slides towards ${azimuth(direction)}, but its centre lies ${millimetres(-along)} the other way from shaft ${shaft.name}`,
            place: segment.bar!.place,
            about: [name, cam.name],
            figures: { along },
            related: [at(segment.azimuth!.place, 'the azimuth of its slide')],
            fixes: [
              fix(
                `Turn the azimuth to ${azimuth(direction + Math.PI)}`,
                rewriting(segment.azimuth!, segment, 'azimuth', degreesWritten(wrapped(direction + Math.PI))),
              ),
            ],
          },
        ];
      }),
    );
  },
};

/** A segment whose bar lies opposite its slide, and how far (mm, negative) it lies along it. */
function strayOf(m: Mechanism, cam: Cam, name: string) {
  const shaft = named(m.shafts, cam.shaft?.name);
  const segment = named(m.segments, name);
  if (!shaft?.at || !segment?.azimuth || !segment.bar) return undefined;
  const { x, y } = segment.bar.value.at;
  const direction = segment.azimuth.value;
  const along = (x - shaft.at.value.x) * Math.cos(direction) + (y - shaft.at.value.y) * Math.sin(direction);
  return along > -1e-6 ? undefined : { segment, shaft, along };
}

/** Whether the bar of a segment lies opposite its slide, and nobody has said that it should. */
export const isAstray = (m: Mechanism, name: string): boolean =>
  m.cams.some(
    (cam) =>
      cam.segments.some((one) => one.name === name) &&
      !isAccepted(m, barAstray.code, [name, cam.name]) &&
      strayOf(m, cam, name) !== undefined,
  );
