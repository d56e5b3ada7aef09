/** A whole design: from syntax tree to meaning. Never throws; what is wrong is told in `problems`. */
import type { LangiumDocument } from 'langium';
import type { Design, Mechanism as MechanismNode, Property } from './generated/ast.ts';
import type { Finding, GlyphTable, Material, Mechanism, Process } from './mechanism.ts';
import { readingOf, textOf } from './reading.ts';
import { readMechanism, type Stumbles } from './resolve-mechanism.ts';
import { type Piece, type Pieces, Tables } from './resolve-tables.ts';
import { featureText, placeAt, rewrite, type Telling, tell } from './telling.ts';

/** The version of the language that this tool knows. */
const languageVersion = 1;

/** What a design means. */
export interface Resolved {
  /** Its URI. */
  readonly file: string;
  readonly mechanisms: readonly Mechanism[];
  /** The tables, materials and processes that the file itself defines. */
  readonly glyphs: readonly GlyphTable[];
  readonly materials: readonly Material[];
  readonly processes: readonly Process[];
  readonly problems: readonly Finding[];
  /** What the next resolving of the same file can go on from. */
  readonly memory: Memory;
}

interface Memory {
  readonly tables: Pieces;
  readonly mechanisms: ReadonlyMap<number, MechanismPiece>;
}

/** A mechanism, the text it was read from and the tables it reads. */
interface MechanismPiece {
  readonly text: string;
  /** Where the parser stumbled in it: what follows a text may change how it was read. */
  readonly stumbles: string;
  readonly tables: readonly (Piece | undefined)[];
  readonly value: Mechanism;
  readonly problems: readonly Finding[];
}

/**
 * Resolves a linked design. A mechanism whose text, place among the statements and tables are those of `previous`
 * is the same object as there, so that all that was reckoned of it still holds.
 */
export function resolveDocument(document: LangiumDocument<Design>, previous?: Resolved): Resolved {
  const design = document.parseResult.value;
  const file = document.uri.toString();
  const before = previous?.file === file ? previous.memory : undefined;
  const tables = new Tables(before?.tables);
  const stumbles = stumblesOf(document);
  const mechanisms = new Map<number, MechanismPiece>();
  const resolved = {
    mechanisms: [] as Mechanism[],
    glyphs: [] as GlyphTable[],
    materials: [] as Material[],
    processes: [] as Process[],
    problems: versionProblems(design, file),
  };
  const keep = <T>({ value, problems }: { readonly value: T; readonly problems: readonly Finding[] }, list: T[]) => {
    list.push(value);
    for (const problem of problems) resolved.problems.push(problem);
  };
  const statements = design.statements ?? [];
  for (const [top, statement] of statements.entries()) {
    if (statement.$type === 'Import' || !statement.name) continue;
    if (statement.$type === 'Glyphs') keep(tables.glyphs(statement), resolved.glyphs);
    else if (statement.$type === 'Material') keep(tables.material(statement), resolved.materials);
    else if (statement.$type === 'Process') keep(tables.process(statement), resolved.processes);
    else {
      const piece = mechanismPiece(statement, tables, stumbles, before?.mechanisms.get(top));
      mechanisms.set(top, piece);
      keep(piece, resolved.mechanisms);
    }
  }
  return {
    file,
    ...resolved,
    memory: { tables: tables.pieces, mechanisms },
  };
}

function mechanismPiece(
  node: MechanismNode,
  tables: Tables,
  stumbles: Stumbles,
  before: MechanismPiece | undefined,
): MechanismPiece {
  const text = textOf(node);
  const seen = tablesOf(node, tables);
  const own = stumbles.length ? ownStumbles(node, stumbles) : '';
  if (before && before.text === text && before.stumbles === own && same(before.tables, seen)) return before;
  const reading = readingOf(node);
  const value = readMechanism(reading, node, tables, stumbles);
  return { text, stumbles: own, tables: seen, value, problems: reading.telling.problems };
}

/** The stumbles that concern one statement, as one text to compare. */
function ownStumbles({ $cstNode: text }: MechanismNode, stumbles: Stumbles): string {
  if (!text) return '';
  return stumbles
    .filter(({ at, after }) => text.offset <= Math.max(at, after) && after <= text.end)
    .map(({ at, after }) => `${after - text.offset}:${Math.min(at, text.end) - text.offset}`)
    .join(' ');
}

const same = (a: readonly unknown[], b: readonly unknown[]): boolean =>
  a.length === b.length && a.every((each, i) => each === b[i]);

/** All tables that a mechanism's text names, in order. */
function tablesOf(node: MechanismNode, tables: Tables): (Piece | undefined)[] {
  const seen: (Piece | undefined)[] = [];
  const look = ({ word, process, table }: Property) => {
    if (word === 'made') seen.push(process?.ref && tables.process(process.ref));
    else if (word === 'glyphs') seen.push(table?.ref && tables.glyphs(table.ref));
  };
  for (const member of node.members) {
    if (member.$type === 'Property') look(member);
    else if ('properties' in member) for (const property of member.properties) look(property);
  }
  return seen;
}

/** Where the parser stumbled. */
function stumblesOf({ parseResult }: LangiumDocument): Stumbles {
  return parseResult.parserErrors.map((error) => {
    const { token } = error;
    const previous = 'previousToken' in error ? (error.previousToken as typeof token | undefined) : undefined;
    // The end of the text has no offset.
    const at = Number.isNaN(token.startOffset) ? Number.POSITIVE_INFINITY : token.startOffset;
    return { at, after: previous?.startOffset ?? at };
  });
}

function versionProblems(design: Design, file: string): Finding[] {
  const telling: Telling = { file, top: -1, start: 0, problems: [] };
  if (design.version === undefined) return telling.problems;
  const place = placeAt(telling, featureText(design, 'version') ?? { offset: 0, end: 0 });
  const version = Number(design.version);
  const fixes = [rewrite(place, String(languageVersion))];
  if (version > languageVersion) {
    const message = `this file is written in language ${design.version}, newer than this tool knows (${languageVersion}); what is new in it is not understood: take a newer Lobewright`;
    tell(telling, 'newer-language', message, place);
  } else if (version !== languageVersion) {
    tell(telling, 'bad-value', `there is no language ${design.version}; the first is ${languageVersion}`, place, {
      fixes,
    });
  }
  return telling.problems;
}
