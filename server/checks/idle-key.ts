import type { Fix, Key, Mechanism } from '../../language/mechanism.ts';
import { idlingOf } from '../reckon/shape/keys.ts';
import { at, type Check, fix, millimetres, roundDown, setting } from './check.ts';
import { lampBoard } from './examples.ts';

const keyed = (key: string) => ({
  shaft: `shaft axle { at 0 mm, 0 mm   turns clockwise   key round }\nkey round { ${key} }`,
});

export const idleKey: Check = {
  code: 'idle-key',
  severity: 'error',
  title: 'A key in whose bore the shaft turns freely',
  means:
    'The clearance is as great as what the shaft’s corners, flat or teeth hold by: the shaft turns, and the cams and gears ' +
    'on it stay where they are. No play, wall or way on is reckoned for such a key.',
  reckoned:
    'A key holds as long as the shaft’s farthest point lies farther out than the nearest wall of the bore: its clearance must ' +
    'be less than (outer − inner)/2 for a flat and a spline, across/2 · (1/cos 45° − 1) for a square, with cos 30° for a ' +
    'hexagon.',
  source: 'Derived here.',
  worked:
    'A square of 10 mm reaches out 7.07 mm and its bore’s faces stand 5 mm off: any clearance from 2.07 mm on lets it turn.',
  remedy: 'Less clearance, or a key with more to hold by: a deeper flat, higher teeth (a smaller `inner`).',
  examples: [
    {
      title: 'A flat that is hardly one',
      text: lampBoard(keyed('shape flat   outer 10 mm   inner 9.99 mm   clearance «0.1 mm»')),
    },
    {
      title: 'A square with far too much room',
      text: lampBoard({
        ...keyed('shape square   across 10 mm   clearance «2.2 mm»'),
      }),
    },
    {
      title: 'A flat that holds',
      text: lampBoard(keyed('shape flat   outer 10 mm   inner 8 mm   clearance 0.1 mm')),
    },
  ],
  find(m, f) {
    return m.keys.flatMap((key) => {
      const idle = key.unclear.length > 0 ? undefined : idlingOf(key, m.process);
      if (!idle) return [];
      const { shaftRadius, boreNearest, grasp } = idle;
      const says = [key.clearance, key.inner, key.across, key.outer].find((given) => given?.by === 'stated');
      const on = m.shafts.filter((shaft) => shaft.key?.name === key.name);
      const idlers = f.cams.filter((cam) => on.some(({ name }) => name === cam.shaft));
      return [
        {
          message:
            `the shaft turns in the bore of key ${key.name}: its farthest point reaches ${millimetres(shaftRadius, 3)}, and ` +
            `the bore with ${millimetres(key.clearance.value, 3)} of clearance${m.process.undersize.value > 0 ? `, ${millimetres(m.process.undersize.value, 3)} undersize as printed,` : ''} comes no nearer than ` +
            `${millimetres(boreNearest, 3)}; a clearance of less than ${millimetres(grasp + m.process.undersize.value / 2, 3)} would hold`,
          place: says?.place ?? key.place,
          // How its cams rest and their bars stand follows from it.
          about: [key.name, ...idlers.flatMap(({ name, segments }) => [name, ...segments])],
          figures: { shaftRadius, boreNearest, clearance: key.clearance.value, grasp },
          related: on.map((shaft) => at(shaft.place, `${shaft.name} has it`)),
          fixes: remedies(m, key, grasp),
        },
      ];
    });
  },
};

/** Four clearances of grasp turn a part well enough; and no clearance need be less than what edges spread by. */
function remedies(m: Mechanism, key: Key, grasp: number): Fix[] {
  const spread = m.process.spread.value;
  const { clearance, outer, inner } = key;
  const less = spread > 0 && spread < grasp / 2 && spread < clearance.value ? millimetres(spread, 3) : undefined;
  const deeper = outer && inner ? roundDown(outer.value - 8 * clearance.value, 0.1) : 0;
  return [
    ...(less ? [fix(`Give ${key.name} clearance ${less}`, setting(key.name, 'clearance', less))] : []),
    ...(inner && outer && deeper > outer.value / 2
      ? [fix(`Give ${key.name} inner ${millimetres(deeper)}`, setting(key.name, 'inner', millimetres(deeper)))]
      : []),
  ];
}
