import type { Cam, Reference } from '../../language/mechanism.ts';
import { at, type Check, fix } from './check.ts';
import { lampBoard } from './examples.ts';

export const twiceDrivenSegment: Check = {
  code: 'twice-driven-segment',
  severity: 'error',
  title: 'Two cams drive one segment',
  means: 'A bar has one follower, and that can ride on one cam. Only the first is reckoned.',
  reckoned: 'The segments that each `cam … drives` names.',
  source: 'The design itself.',
  worked: '`cam camA … drives a` and `cam camB … drives a`: camB was meant for b.',
  remedy: 'Let each cam drive its own segment.',
  examples: [
    { title: 'One name written twice', text: lampBoard({ camR: 'cam camR on axle level 2 drives right «left»' }) },
    { title: 'A cam for each', text: lampBoard() },
  ],
  find(m) {
    const uses = m.cams.flatMap((cam) => cam.segments.map((reference) => ({ cam, reference })));
    return uses.flatMap(({ cam, reference }, i) => {
      const first = uses.find((use) => use.reference.name === reference.name)!;
      if (first === uses[i]) return [];
      const same = first.cam === cam;
      return [
        {
          message: same
            ? `${cam.name} names bar ${reference.name} twice`
            : `bar ${reference.name} is driven by ${first.cam.name} already; it cannot follow ${cam.name} as well`,
          place: reference.place,
          about: [reference.name, cam.name, ...(same ? [] : [first.cam.name])],
          related: [at(first.reference.place, `${first.cam.name} drives ${reference.name} here`)],
          fixes: [letting(cam, reference), ...(same ? [] : [letting(first.cam, first.reference)])],
        },
      ];
    });
  },
};

/** Takes one segment from a cam; the cam as well where it drives nothing else. */
function letting(cam: Cam, reference: Reference) {
  return cam.segments.length > 1
    ? fix(`Take ${reference.name} off ${cam.name}`, { do: 'remove', place: reference.place })
    : fix(`Leave out ${cam.name}`, { do: 'remove', place: cam.whole });
}
