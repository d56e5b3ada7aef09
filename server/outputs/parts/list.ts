/** The list of parts: what to print and what to buy, of what, how much of it; and which parts are easily mixed up. */
import type { Mechanism } from '../../../language/mechanism.ts';
import { fingerprintOf, labelsOf } from '../../reckon/parts/fingerprint.ts';
import { areaOf, turnedOver } from '../../reckon/parts/loop.ts';
import { type Parts, processesOf } from '../../reckon/parts/parts.ts';
import { rounded } from '../rounded.ts';
import type { LaidBed } from './beds.ts';

/** Filament is 1.75 mm thick: common practice. */
const filamentArea = (Math.PI * 1.75 ** 2) / 4;

export interface ListedPart {
  readonly name: string;
  readonly kind: string;
  readonly count: number;
  readonly process: string;
  readonly material: string;
  /** Of one, mm³ and, where the material says its density, g; the length of filament of 1.75 mm in m, printed solid. */
  readonly volume: number;
  readonly mass?: number;
  readonly filament: number;
  readonly fingerprint: string;
  readonly labels: string;
  /** Parts of the same shape, or the same turned over, told apart by what is engraved alone. */
  readonly alike: readonly { readonly name: string; readonly how: 'same' | 'mirrored' }[];
  /** Whether its name is engraved on it. */
  readonly marked: boolean;
  /** The 3MF files that it lies in, where any are written, and how many there. */
  readonly files: readonly { readonly file: string; readonly count: number }[];
}

/** A bed, and the file of what lies on it. */
export interface FiledBed extends LaidBed {
  readonly file: string;
}

export interface PartsList {
  readonly printed: readonly ListedPart[];
  readonly beds: readonly {
    readonly file: string;
    readonly process: string;
    readonly width: number;
    readonly depth: number;
  }[];
  readonly bought: Parts['bought'];
  readonly notMade: Parts['missing'];
  readonly notEngraved: Parts['unmarked'];
}

export function partsList(
  m: Mechanism,
  { parts, bought, missing, unmarked, nameless }: Parts,
  beds: readonly FiledBed[] = [],
): PartsList {
  const processes = processesOf(m);
  const prints = parts.map(fingerprintOf);
  const mirrors = parts.map((part) =>
    fingerprintOf({ prisms: part.prisms.map((prism) => ({ ...prism, regions: prism.regions.map(turnedOver) })) }),
  );
  const printed = parts.map((part, i): ListedPart => {
    const volume = part.prisms.reduce((sum, { from, to, regions }) => sum + areaOf(regions) * (to - from), 0);
    const density = processes.get(part.process)?.material.density?.value;
    return {
      name: part.name,
      kind: part.kind,
      count: part.seats.length,
      process: part.process,
      material: part.material,
      volume: rounded(volume),
      ...(density !== undefined && { mass: rounded(volume * density) }),
      filament: rounded(volume / filamentArea / 1000),
      fingerprint: prints[i],
      labels: labelsOf(part),
      alike: parts.flatMap((other, k): ListedPart['alike'] => {
        if (k === i || other.kind !== part.kind) return [];
        if (prints[k] === prints[i]) return [{ name: other.name, how: 'same' }];
        return prints[k] === mirrors[i] ? [{ name: other.name, how: 'mirrored' }] : [];
      }),
      marked: !nameless.includes(part.name),
      files: beds.flatMap(({ file, laid }) => {
        const count = laid.filter((one) => one.part === part).length;
        return count > 0 ? [{ file, count }] : [];
      }),
    };
  });
  return {
    printed,
    beds: beds.map(({ file, process, size }) => ({ file, process, ...size })),
    bought,
    notMade: missing,
    notEngraved: unmarked,
  };
}

// ---- as it is written ---------------------------------------------------------------------------------

const heads = ['name', 'kind', 'count', 'process', 'material', 'volume mm3', 'mass g', 'filament m', 'fingerprint', 'tell apart', 'in file']; // biome-ignore format: a list

const rowsOf = ({ printed, bought }: PartsList): string[][] => [
  ...printed.map((part) => [
    part.name,
    part.kind,
    `${part.count}`,
    part.process,
    part.material,
    part.volume.toFixed(0),
    part.mass === undefined ? '' : part.mass.toFixed(2),
    part.filament.toFixed(2),
    part.fingerprint,
    apart(part),
    filed(part),
  ]),
  ...bought.map(({ what, count }) => [what, 'bought', `${count}`, '', '', '', '', '', '', '', '']),
];

const filed = ({ files }: ListedPart): string =>
  files.length === 1 ? files[0].file : files.map(({ file, count }) => `${count} in ${file}`).join(', ');

/** What tells a part from those like it. */
function apart({ alike, marked }: ListedPart): string {
  if (alike.length === 0) return '';
  const named = alike.map(({ name, how }) => (how === 'same' ? `like ${name}` : `${name} mirrored`)).join(', ');
  return `${named}: ${marked ? 'its engraved name' : 'nothing; mark it by hand'}`;
}

/** RFC 4180, UTF-8; what a spreadsheet would take for a formula is quoted as text. */
export function listCsv(list: PartsList): string {
  const field = (text: string) => {
    const plain = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
    return /[",\r\n]/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
  };
  return [heads, ...rowsOf(list)]
    .map((row) => row.map(field).join(','))
    .join('\r\n')
    .concat('\r\n');
}

export function listMarkdown(title: string, list: PartsList): string {
  const cell = (text: string) => text.replace(/[\\|<>&*_`[\]]/g, (sign) => `\\${sign}`).replace(/[\r\n]+/g, ' ');
  const row = (cells: readonly string[]) => `| ${cells.map(cell).join(' | ')} |`;
  const total = (value: (part: ListedPart) => number) =>
    list.printed.reduce((sum, part) => sum + part.count * value(part), 0);
  const beds = list.beds.map(
    ({ file, process, width, depth }) =>
      `- ${cell(file)}: a bed of ${rounded(width)} by ${rounded(depth)} mm, ${cell(process)}`,
  );
  const notes = [...list.notMade, ...list.notEngraved].map(({ because }) => `- ${cell(because)}`);
  return [
    `# Parts of ${cell(title)}`,
    '',
    row(heads),
    row(heads.map(() => '---')),
    ...rowsOf(list).map(row),
    '',
    `All printed solid: ${(total(({ volume }) => volume) / 1000).toFixed(1)} cm³, ${total(({ filament }) => filament).toFixed(1)} m of filament of 1.75 mm.`,
    ...(beds.length > 1 ? ['', 'Laid on more than one bed:', '', ...beds] : []),
    ...(notes.length ? ['', 'Not made, or not engraved:', '', ...notes] : []),
    '',
  ].join('\n');
}

export const listJson = (name: string, list: PartsList): string =>
  `${JSON.stringify({ contract: 1, mechanism: name, ...list }, undefined, 2)}\n`;
