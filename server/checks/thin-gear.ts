import { at, type Check, counted, grouped, millimetres, named } from './check.ts';
import { gearedBoard } from './examples.ts';
import { isClearOfShape } from './meshes.ts';

export const thinGear: Check = {
  code: 'thin-gear',
  severity: 'warning',
  title: 'A gear with too little material round its key',
  means:
    'Between the keyed bore and the feet of the teeth there is less material than the process makes a wall of. An error ' +
    'where the bore breaks through to the teeth. Told once for all gears on a key, and not where cams on it are too thin as well.',
  reckoned:
    'Root radius m·(z/2 − 1.25 + x) less the reach of the bore with its clearance, against the process’s `wall`.',
  source: 'Basic rack of ISO 53; the wall is the process’s.',
  worked:
    '20 teeth of module 1 mm have feet at 8.75 mm. A flat of 16 mm with a clearance of 0.1 mm reaches out 8.1 mm and leaves 0.65 mm.',
  remedy: 'A smaller key, or a larger gear.',
  notBeside: ['shaft-drift', 'unlike-gears', 'thin-cam'],
  examples: [
    {
      title: 'A key nearly as large as the gear',
      text: gearedBoard({
        upper:
          'shaft upper { at 0 mm, 30 mm   turns clockwise   leads   key round }\nkey round { shape flat   outer 57 mm }',
        upperGear: 'gear upperGear on upper { module 1 mm   teeth «60»   width 5 mm   mark 270 deg }',
        everyCam: 'every cam { base 32 mm   travel 60 deg }',
        lower: 'shaft lower { at 0 mm, -90 mm   turns counterclockwise }',
        lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 180   width 5 mm   mark 90 deg }',
        camR: '',
        right: '',
        count: 'count off low',
        table: 'glyphs lamps { segments left   off = blank   low = left }',
      }),
    },
    {
      title: 'A key of half its size',
      text: gearedBoard({
        upper:
          'shaft upper { at 0 mm, 30 mm   turns clockwise   leads   key round }\nkey round { shape flat   outer 30 mm }',
      }),
    },
  ],
  find(m, f, told) {
    const thin = f.keyed.parts.flatMap(({ kind, name, key: keyName, wall }) => {
      const [gear, key] = [named(m.gears, name), named(m.keys, keyName)];
      if (kind !== 'gear' || !gear?.teeth || !key || !wall || told(key.name)) return [];
      const least = gear.process.wall.value;
      if (wall.value >= least - 1e-6 || key.unclear.length > 0 || !isClearOfShape(gear)) return [];
      return [{ name, key, least, wall: wall.value, place: gear.teeth.place }];
    });
    return grouped(thin, ({ key }) => key.name).map((same) => {
      const [{ name, key, least, wall, place }, ...rest] = same.sort((a, b) => a.wall - b.wall);
      const left = millimetres(Math.abs(wall), 2);
      const others = rest.map((one) => one.name);
      const what =
        wall <= 0
          ? `the bore of key ${key.name} breaks out of ${name}: it reaches ${left} beyond the feet of its teeth`
          : `${name} has ${left} of material left between its bore and the feet of its teeth (wall ${millimetres(least, 2)})`;
      return {
        severity: wall <= 0 ? ('error' as const) : ('warning' as const),
        message: `${what}${others.length ? `, and so it is for ${counted('gear', others)}` : ''}`,
        place,
        about: [name, ...others, key.name],
        figures: { wall, least },
        related: [at((key.outer ?? key.across ?? key).place, `key ${key.name}`)],
      };
    });
  },
};
