/** What was found with a coupon, as changes of the design's text. */
import type { Change, Mechanism, Process } from '../../../language/mechanism.ts';
import type { Found } from './found.ts';

type Measurable = 'clearance' | 'spread' | 'undersize';

export interface Written {
  /** The process that has the values then. */
  readonly process: string;
  readonly values: readonly { readonly property: Measurable; readonly from: number; readonly to: number }[];
  readonly changes: readonly Change[];
}

/**
 * The process of the mechanism gets what was found. One that stands in another file (the library's) is left as it is; a
 * copy with the values found comes after the mechanism, and the mechanism is made with that. `taken`: names in use.
 */
export function writtenInto(m: Mechanism, found: Found, taken: readonly string[] = []): Written {
  const { process } = m;
  const measured = { clearance: found.clearance?.value, spread: found.spread?.value, undersize: found.undersize };
  const values = (['clearance', 'spread', 'undersize'] as const).flatMap((property) => {
    const value = measured[property];
    if (value === undefined) return [];
    const to = Math.max(property === 'undersize' ? 0 : 0.01, Math.round(value * 100) / 100);
    const from = process[property].value;
    return Math.abs(to - from) < 5e-3 ? [] : [{ property, from, to }];
  });
  if (values.length === 0) return { process: process.name, values, changes: [] };
  const { nozzle, layer, spread, undersize, clearance, wall, drag, bed } = process;
  const own = [nozzle, layer, spread, undersize, clearance, wall, drag, bed].some(
    ({ by, place }) => by === 'stated' && place.file === m.place.file,
  );
  if (own) {
    const changes = values.map(
      ({ property, to }): Change => ({ do: 'set', object: process.name, property, value: millimetres(to) }),
    );
    return { process: process.name, values, changes };
  }
  const wanted = `measured${process.name[0].toUpperCase()}${process.name.slice(1)}`;
  let name = wanted;
  for (let i = 2; taken.includes(name); i++) name = `${wanted}${i}`;
  const now = Object.fromEntries(values.map(({ property, to }) => [property, to]));
  const end = { ...m.whole, from: m.whole.to };
  return {
    process: name,
    values,
    changes: [
      { do: 'set', object: '', property: 'made with', value: name },
      {
        do: 'replace',
        place: end,
        text: `\n\n// ${process.name}, as a coupon measured it.\n${said(name, process, now)}`,
      },
    ],
  };
}

const millimetres = (value: number): string => `${Number(value.toFixed(3))} mm`;

/** A whole process in the language. */
function said(name: string, process: Process, now: { readonly [measured in Measurable]?: number }): string {
  const { nozzle, layer, spread, undersize, clearance, wall, drag, bed, material } = process;
  const narrower = now.undersize ?? undersize.value;
  const sizes = [
    ['nozzle', nozzle.value],
    ['layer', layer.value],
    ['spread', now.spread ?? spread.value],
    ...(narrower > 0 ? [['undersize', narrower] as const] : []),
    ['clearance', now.clearance ?? clearance.value],
    ['wall', wall.value],
  ] as const;
  const first = sizes.map(([property, value]) => `${property} ${millimetres(value)}`).join('   ');
  const { width, depth } = bed.value;
  const laid = bed.by === 'stated' ? `bed ${millimetres(width)} by ${millimetres(depth)}   ` : '';
  return `process ${name} {\n  ${first}   drag ${Number(drag.value.toFixed(3))} N\n  ${laid}material ${material.name}\n}`;
}
