/**
 * The fingerprint of a part: a hash of its functional shape in its own frame, to 1 µm and 0.001°. Where it sits, what
 * it is called and what is engraved on it leave it as it is.
 */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { degrees } from '../motion/angles.ts';
import { Latest } from '../remembering.ts';
import type { Loop, PrintedPart, Prism, Vertex } from './part.ts';
import { toldOf } from './same-loop.ts';

/** Sixteen hexadecimal digits. */
export const fingerprintOf = ({ prisms }: Pick<PrintedPart, 'prisms'>): string => hashOf(prisms);

/** The same of what is engraved. */
export const labelsOf = ({ engraved }: Pick<PrintedPart, 'engraved'>): string => hashAnew(engraved);

const latest = new Latest<string>(512);

function hashOf(prisms: readonly Prism[]): string {
  const told = prisms.map(({ from, to, regions }) => `${from} ${to} ${toldOf(regions)}`).join('; ');
  return latest.get(told) ?? latest.keep(told, hashAnew(prisms));
}

const hashAnew = (prisms: readonly Prism[]): string =>
  bytesToHex(sha256(utf8ToBytes(prisms.map(prismText).sort().join('\n')))).slice(0, 16);

function prismText({ from, to, regions }: Prism): string {
  const shapes = regions.map(({ outer, holes }) => [loopText(outer), ...holes.map(loopText).sort()].join(' less '));
  return `${steps(from, lengths)} to ${steps(to, lengths)}: ${shapes.sort().join(' and ')}`;
}

/** Its vertices and the sweeps of its arcs, from the one that lies farthest left, and of these lowest. */
function loopText(loop: Loop): string {
  const rows = loop.map(rowOf);
  const first = rows.reduce((best, row, i) => (isBefore(row, rows[best]) ? i : best), 0);
  return [...rows.slice(first), ...rows.slice(0, first)].map((row) => row.join(',')).join(' ');
}

type Row = readonly [x: number, y: number, sweep: number];

const rowOf = ({ x, y, bulge }: Vertex): Row => [
  steps(x, lengths),
  steps(y, lengths),
  steps(degrees(4 * Math.atan(bulge)), angles),
];

const isBefore = (one: Row, other: Row): boolean => one[0] < other[0] || (one[0] === other[0] && one[1] < other[1]);

/** 1 µm, and 0.001°. */
const lengths = 1e-3;
const angles = 1e-3;

/**
 * Whole steps. What a maker writes lies on a step or at some simple fraction of it, so the border between two is put
 * where no such number lies: else the noise of the last digit would tell two equal shapes apart.
 */
const steps = (value: number, step: number): number => Math.floor(value / step + 0.5 + border);
const border = Math.SQRT1_2 / 4;
