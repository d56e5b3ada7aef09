/**
 * Lift and profile of a cam as CSV (RFC 4180): a row for each cam angle, counter-clockwise from 0, with the lift there,
 * where the follower touches the profile in the cam's frame, and the pressure angle, positive where the contact lies
 * to the left of the slide.
 */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { MotionFigures } from '../../reckon/figures.ts';
import { degrees, turn, wrapped } from '../../reckon/motion/angles.ts';
import { liftAt } from '../../reckon/motion/lift.ts';
import { riderOn } from '../../reckon/shape/bodies.ts';
import { rideOf } from '../../reckon/shape/cutting.ts';
import type { Unreckoned } from '../../reckon/shape/keys.ts';
import { rounded } from '../rounded.ts';

const heading = ['cam angle (deg)', 'lift (mm)', 'x (mm)', 'y (mm)', 'pressure angle (deg)'];

/** `rows` to a turn; or why the cam's profile is not known. */
export function camCsv(m: Mechanism, figures: MotionFigures, name: string, rows = 720): string | Unreckoned {
  const rider = riderOn(m, figures, name);
  if ('because' in rider) return rider;
  const { lift } = figures.cams.find((cam) => cam.name === name)!;
  const ride = rideOf(lift, rider);
  if (!ride) return { because: `the follower of ${name} passes beside its prime circle` };
  const lines = Array.from({ length: rows }, (_, i) => {
    const psi = (i * turn) / rows;
    const { touch, ahead, normal } = ride.stand(psi);
    const pressure = wrapped(ahead - normal + Math.PI) - Math.PI;
    return [(i * 360) / rows, liftAt(lift, psi).lift, touch.x, touch.y, degrees(pressure)].map(rounded).join(',');
  });
  return [heading.join(','), ...lines, ''].join('\r\n');
}
