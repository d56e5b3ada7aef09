import { inSlideFrame, positive } from '../reckon/shape/followers.ts';
import { loweredAngle } from '../reckon/shape/pivoted.ts';
import { at, type Check, millimetres, named } from './check.ts';
import { lampBoard } from './examples.ts';

export const shortArm: Check = {
  code: 'short-arm',
  severity: 'error',
  title: 'A swinging arm whose nose cannot follow its cam',
  means:
    'The nose of a pivoted follower goes round its pivot. Here that circle does not meet the cam’s prime circle, or the arm ' +
    'would have to swing past the line through pivot and shaft: no shape can be reckoned for this cam.',
  reckoned:
    'The lowered nose lies where the arm’s circle round the pivot meets the prime circle, base + nose round the shaft: the ' +
    'arm’s length must lie between their distance less and plus the prime radius, and the whole swing within half a turn.',
  source: 'The triangle of shaft, pivot and nose.',
  worked:
    'A pivot 40 mm from the shaft and a prime radius of 21.5 mm: the arm must be between 18.5 mm and 61.5 mm long.',
  remedy: 'Another arm, or a pivot elsewhere.',
  notBeside: ['wide-offset'],
  examples: [
    {
      title: 'Too short by far',
      text: lampBoard({
        left: 'segment left { azimuth 180 deg   «follower pivoted at 0 mm, 40 mm arm 15 mm» }',
      }),
    },
    {
      title: 'Long enough',
      text: lampBoard({
        everyCam: 'every cam { base 40 mm   travel 90 deg }',
        left: 'segment left { azimuth 180 deg   follower pivoted at 0 mm, 60 mm arm 60 mm }',
        right: 'segment right { azimuth 0 deg }',
      }),
    },
  ],
  find(m) {
    return m.cams.flatMap((cam) => {
      const segment = named(m.segments, cam.segments[0]?.name);
      const [base, nose, stroke] = [positive(cam.base), positive(segment?.nose), positive(segment?.stroke)];
      const follower = segment?.follower.value;
      if (!segment || follower?.kind !== 'pivoted' || base === undefined || nose === undefined) return [];
      const pivot = inSlideFrame(m, cam.shaft?.name, segment, follower.at);
      if (!pivot || !(follower.arm > 0)) return [];
      const prime = base + nose;
      const centres = Math.hypot(pivot.x, pivot.y);
      const start = loweredAngle({ prime, nose, pivot, arm: follower.arm });
      if (start !== undefined && start + (stroke ?? 0) / follower.arm < Math.PI) return [];
      const [least, most] = [Math.abs(centres - prime), centres + prime].map((length) => millimetres(length, 2));
      const far = `its pivot is ${millimetres(centres, 2)} from shaft ${cam.shaft!.name}`;
      return [
        {
          message:
            centres < 1e-3
              ? `the pivot of ${segment.name} stands on shaft ${cam.shaft!.name}: round it the nose never comes nearer to ${cam.name} nor farther off, however long the arm`
              : start === undefined
                ? `the arm of ${segment.name} is ${millimetres(follower.arm, 2)} long and cannot reach the prime circle of ${cam.name}: ${far}, so it must be longer than ${least} and shorter than ${most}`
                : `the arm of ${segment.name} cannot swing ${millimetres(stroke ?? 0, 2)} up on ${cam.name}: ${far}, and the arm would stretch past the line between them`,
          place: segment.follower.place,
          about: [segment.name, cam.name],
          figures: { arm: follower.arm, centres, primeRadius: prime },
          related: [at(cam.base!.place, `the base of ${cam.name}`)],
        },
      ];
    });
  },
};
