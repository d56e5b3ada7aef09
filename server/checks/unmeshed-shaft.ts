import type { Fix, Mechanism, Shaft } from '../../language/mechanism.ts';
import { isUnclear } from '../../language/mechanism.ts';
import type { Figures } from '../reckon/figures.ts';
import { at, type Check, counted, fix } from './check.ts';
import { gearedBoard } from './examples.ts';

export const unmeshedShaft: Check = {
  code: 'unmeshed-shaft',
  severity: 'error',
  title: 'Nothing turns a shaft',
  means:
    'No chain of meshes leads from the leading shaft to this one. What it carries is reckoned as if it turned 1 : 1, so ' +
    'that the rest can be judged. An error where it carries cams, a ratchet or a push; a warning for gears alone; a hint ' +
    'for a bare shaft.',
  reckoned:
    'The meshes are followed from the leading shaft: the one that `leads`, else the ratchet’s, else the push’s, else the first.',
  source: 'The design itself.',
  worked: 'Gears on both shafts, but no `mesh upperGear lowerGear`: lower stands still.',
  remedy: 'Add the gears and the `mesh`, or let another shaft lead.',
  notBeside: ['missing-value'],
  examples: [
    { title: 'A mesh forgotten', text: gearedBoard({ mesh: '', lower: 'shaft «lower» { at 0 mm, -30 mm }' }) },
    { title: 'In mesh', text: gearedBoard() },
  ],
  find(m, f, told) {
    if (isUnclear(m, 'mesh') || isUnclear(m, 'gear') || !f.leading) return [];
    // A train stops at a gear whose teeth were said and not understood, which is told already.
    if (m.gears.some((gear) => isUnclear(gear, 'teeth'))) return [];
    return f.shafts.flatMap((figure) => {
      const shaft = m.shafts.find(({ name }) => name === figure.name);
      if (!shaft || figure.ratio) return [];
      const on = <T extends { readonly name: string; readonly shaft?: { readonly name: string } }>(
        parts: readonly T[],
      ) => parts.filter((part) => part.shaft?.name === shaft.name).map(({ name }) => name);
      const gears = on(m.gears);
      if (told(...gears)) return [];
      const turned = [...on(m.cams), ...on(m.ratchets), ...on(m.pushes)];
      const carries = turned.length ? `${counted('cam', on(m.cams))}` : '';
      return [
        {
          severity: turned.length ? 'error' : gears.length ? 'warning' : 'hint',
          message: turned.length
            ? `no mesh turns shaft ${shaft.name}${on(m.cams).length ? `, which carries ${carries}` : ''}; mesh a gear of it with one on the way from ${f.leading}`
            : gears.length
              ? `no mesh turns shaft ${shaft.name}, so ${counted('gear', gears)} ${gears.length === 1 ? 'stands' : 'stand'} still`
              : `shaft ${shaft.name} carries nothing`,
          place: shaft.place,
          about: [shaft.name, ...turned, ...gears],
          related: m.shafts
            .filter(({ name }) => name === f.leading)
            .map((leading) => at(leading.place, `${leading.name} leads`)),
          fixes: turned.length || gears.length ? meshFixes(m, f, shaft) : [],
        } as const,
      ];
    });
  },
};

/** Meshes of like gears whose shafts lie as far apart as the two need. */
function meshFixes(m: Mechanism, f: Figures, shaft: Shaft): Fix[] {
  const reached = new Set(f.shafts.flatMap(({ name, ratio }) => (ratio ? [name] : [])));
  const own = m.gears.filter((gear) => gear.shaft?.name === shaft.name);
  return m.gears.flatMap((inner) => {
    const other = m.shafts.find(({ name }) => name === inner.shaft?.name);
    if (!other?.at || !shaft.at || !reached.has(other.name)) return [];
    const distance = Math.hypot(other.at.value.x - shaft.at.value.x, other.at.value.y - shaft.at.value.y);
    return own
      .filter(({ module, teeth }) => {
        if (!module || !teeth || !inner.module || !inner.teeth || module.value !== inner.module.value) return false;
        return Math.abs((module.value * (teeth.value + inner.teeth.value)) / 2 - distance) < module.value / 4;
      })
      .map((gear) =>
        fix(`Mesh ${inner.name} with ${gear.name}`, { do: 'add', statement: `mesh ${inner.name} ${gear.name}` }),
      );
  });
}
