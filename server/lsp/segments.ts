/** Segments as glyph tables name them: which tables go by one name, which mechanisms read their face by these. */
import { type CstNode, GrammarUtils, type LangiumDocuments, type LeafCstNode } from 'langium';
import type { Design, GlyphEntry, Glyphs, Mechanism, Segment, SegmentList } from '../../language/generated/ast.ts';
import { namesIn } from '../../language/names.ts';
import { chainOf, tableOf } from './glyphs.ts';

/** Tables that mean the same segment by one name, because they are like one another. */
export interface Naming {
  readonly name: string;
  /** The table that names it first; the others that name it are like this one. */
  readonly origin: Glyphs;
  readonly tables: readonly Glyphs[];
  /** The mechanisms that read their face by one of them, or by a table like one of them. */
  readonly users: readonly Mechanism[];
}

/** The table and the name that a word of a glyph table (`0 = a`, `segments a`) stands for. */
export function segmentWord(leaf: LeafCstNode): { table: Glyphs; name: string } | undefined {
  const { astNode, text } = leaf;
  const room = astNode.$type === 'GlyphEntry' ? 'lit' : astNode.$type === 'SegmentList' ? 'names' : undefined;
  if (!room || GrammarUtils.findAssignment(leaf)?.feature !== room) return undefined;
  return { table: (astNode as GlyphEntry | SegmentList).$container, name: text };
}

/** Every place where a table itself names a segment; its lists first. */
export function wordsFor({ segmentLists, entries }: Glyphs, name: string): CstNode[] {
  const words = [
    ...segmentLists.flatMap(({ $cstNode }) => GrammarUtils.findNodesForProperty($cstNode, 'names')),
    ...entries.flatMap(({ $cstNode }) => GrammarUtils.findNodesForProperty($cstNode, 'lit')),
  ];
  return words.filter(({ text }) => text === name);
}

export const names = (table: Glyphs, name: string): boolean =>
  table.segmentLists.some((list) => list.names.includes(name)) || table.entries.some(({ lit }) => lit.includes(name));

/** What a name stands for in a table, over all files that are held; undefined where neither it nor its like name it. */
export function namingOf(table: Glyphs | undefined, name: string, documents: LangiumDocuments): Naming | undefined {
  const origin = chainOf(table).findLast((each) => names(each, name));
  if (!origin) return undefined;
  const statements = documents.all.toArray().flatMap(({ parseResult }) => (parseResult.value as Design).statements);
  const stands = (from: Glyphs | undefined) => chainOf(from).includes(origin);
  return {
    name,
    origin,
    tables: statements.filter((each): each is Glyphs => each.$type === 'Glyphs' && names(each, name) && stands(each)),
    users: statements.filter((each): each is Mechanism => each.$type === 'Mechanism' && stands(tableOf(each))),
  };
}

/** The segment of a mechanism that has a name. */
export function segmentIn(mechanism: Mechanism, name: string): Segment | undefined {
  const found = namesIn(mechanism).first.get(name);
  return found?.$type === 'Segment' ? found : undefined;
}

/** The segments that a name stands for, one of each mechanism that has one. */
export const segmentsOf = ({ users, name }: Naming): Segment[] =>
  users.flatMap((mechanism) => segmentIn(mechanism, name) ?? []);
