import { readdirSync, readFileSync } from 'node:fs';
import {
  type AstNode,
  type CompositeCstNode,
  type CstNode,
  createLangiumParser,
  GrammarUtils,
  isReference,
} from 'langium';
import { describe, expect, test } from 'vitest';
import { libraryFiles, libraryText } from '../../language/library.ts';
import { createLobeServices } from '../../language/services.ts';

const { lobe } = createLobeServices();
/** The parser that Langium itself makes of the grammar, as an oracle for ours. */
const oracle = createLangiumParser(lobe);

/** A tree as plain data: types, features, names referred to, containers, and the text each node spans. */
function plain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(plain);
  if (isReference(value)) return { refersTo: value.$refText, at: value.$refNode?.offset };
  if (typeof value !== 'object' || value === null) return value;
  const node = value as AstNode & Record<string, unknown>;
  const features = Object.keys(node)
    .filter((name) => !name.startsWith('$'))
    .sort()
    .map((name) => [name, plain(node[name])]);
  return {
    $type: node.$type,
    in: [node.$container?.$type, node.$containerProperty, node.$containerIndex],
    text: [node.$cstNode?.offset, node.$cstNode?.end],
    ...Object.fromEntries(features),
  };
}

/** The text's tree: every leaf with what the grammar makes of it, and the node it belongs to. */
function leaves(node: CstNode): unknown[] {
  if ('content' in node) return (node as CompositeCstNode).content.flatMap(leaves);
  const { feature } = GrammarUtils.findAssignment(node) ?? {};
  return [[node.text, node.hidden, node.grammarSource?.$type, feature, node.astNode.$type]];
}

const texts: readonly (readonly [name: string, text: string])[] = [
  ...readdirSync('examples')
    .filter((name) => name.endsWith('.lobe'))
    .map((name) => [name, readFileSync(`examples/${name}`, 'utf8')] as const),
  ...libraryFiles.map((file) => [file, libraryText(file)!] as const),
  [
    'values',
    `mechanism M { let a = 1 + 2 * 3 - 4 / (5 - -6) * min(7, 8 mm + 9, (10)) +/- 1 - 2 let b = ((a)) /* c */
      let c = - - 1 ± 2 // d
      every cam { law polynomial 3-4-5 lobe from 1 deg to 2 deg flanks 3 deg, 4 deg } }`,
  ],
  ['only comments', '// one\n/* two */\n'],
  ['nothing', ''],
];

describe('our parser makes the trees that the library makes of the grammar', () => {
  test.each(texts)('%s', (_name, text) => {
    const ours = lobe.parser.LangiumParser.parse(text);
    const theirs = oracle.parse(text);
    expect(theirs.parserErrors).toEqual([]);
    expect(ours.parserErrors).toEqual([]);
    expect(plain(ours.value)).toEqual(plain(theirs.value));
    expect(leaves(ours.value.$cstNode!)).toEqual(leaves(theirs.value.$cstNode!));
  });
});
