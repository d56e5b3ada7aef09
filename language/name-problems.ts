/** Names that stand for nothing, for the wrong thing, or for two things. */
import { type AstNode, GrammarUtils, type LangiumDocuments, type ReferenceInfo } from 'langium';
import { type Design, isMechanism, isMesh, type Mechanism } from './generated/ast.ts';
import { lacksFiles } from './import-problems.ts';
import { importedFiles, visibleDesigns } from './imports.ts';
import { isLibraryFile } from './library.ts';
import { brokenReferences, type Definition, definitionsIn, mechanismOf, type Names, namesIn } from './names.ts';
import { nearest } from './near.ts';
import { fileOf, placeOf } from './places.ts';
import type { DesignDocument } from './services.ts';
import { mostProblems } from './tokens.ts';
import type { Problem } from './unexpected.ts';

export function nameProblems(document: DesignDocument, documents: LangiumDocuments): Problem[] {
  return [...wrongNames(document, documents), ...takenNames(document, documents)];
}

// ---- names that do not stand for what is due ------------------------------------

function wrongNames(document: DesignDocument, documents: LangiumDocuments): Problem[] {
  const broken = brokenReferences(document);
  if (!broken.length) return [];
  const design = document.parseResult.value;
  const lacking = lacksFiles(design, document.uri, documents);
  const problems: Problem[] = [];
  const known = new Map<string, readonly string[]>();
  for (const { error, $refText: name, $refNode } of broken.slice(0, mostProblems + 1)) {
    if (!$refNode) continue;
    const { info } = error;
    const kind = dueKind(info);
    const mechanism = mechanismOf(info.container);
    const local = mechanism && !isDefinition(kind);
    const other = local ? namesIn(mechanism).first.get(name) : otherDefinition(design, kind, name, document, documents);
    const stretch = { from: $refNode.offset, to: $refNode.end };
    const about = partOf(info.container);
    const key = local ? `${mechanism.$containerIndex} ${kind}` : kind;
    const may = known.get(key) ?? (local ? localNames(mechanism, kind) : definedNames(document, kind, documents));
    known.set(key, may);
    const near = nearNames(name, may);
    const fixes = near.map((text) => ({ title: `Write ${text}`, edits: [{ ...stretch, text }] }));
    if (other) {
      problems.push({
        code: 'wrong-kind-of-name',
        message: `'${name}' is ${kindName(other.$type)}; ${due(kind)} is due here${has(kind, name, may)}`,
        ...stretch,
        about,
        related: [{ place: placeOf(other), from: 0, to: 0, message: `'${name}' is made here` }],
        fixes,
      });
    } else if (local || !lacking) {
      const hint = near.length ? `: did you mean ${near[0]}?` : has(kind, name, may);
      problems.push({
        code: 'unknown-name',
        message: `no ${dueNoun(kind)} is called '${name}'${hint}`,
        ...stretch,
        about,
        fixes,
      });
    }
  }
  return problems;
}

/** Names that may be meant. Among names of one letter, another letter is not near; but the only one there is may be. */
function nearNames(name: string, may: readonly string[]): string[] {
  if (may.length === 1) return [...may];
  // Among thousands of names some are always near, and looking for them takes its time.
  if (may.length > 1000) return [];
  const near = nearest(name, may, 3);
  return name.length > 1 ? near : near.filter((other) => other.toLowerCase() === name.toLowerCase());
}

const referenceKinds: Readonly<Record<string, string>> = {
  shaft: 'Shaft',
  key: 'Key',
  spring: 'Spring',
  segments: 'Segment',
  gears: 'Gear',
  anchor: 'Anchor',
  named: 'Let',
  subject: 'Named',
  process: 'Process',
  material: 'Material',
  table: 'Glyphs',
  like: 'Glyphs',
};

function dueKind({ property }: ReferenceInfo): string {
  return referenceKinds[property] ?? 'Named';
}

function isDefinition(kind: string): boolean {
  return kind === 'Process' || kind === 'Material' || kind === 'Glyphs';
}

const kindNames: Readonly<Record<string, string>> = {
  Glyphs: 'a glyph table',
  Let: "a value named by 'let'",
  Anchor: 'a post or a segment',
  Named: 'a part of this mechanism',
};

function kindName(kind: string): string {
  return kindNames[kind] ?? `a ${kind.toLowerCase()}`;
}

const due = kindName;

function dueNoun(kind: string): string {
  if (kind === 'Let') return 'value';
  return kindName(kind).replaceAll(/\ban? /g, '');
}

/** What there is instead, where that is little enough to say. */
function has(kind: string, name: string, names: readonly string[]): string {
  if (!names.length) {
    if (kind === 'Let') return `; this mechanism names none yet: write let ${name} = …`;
    return `; this mechanism has no ${kind === 'Named' ? 'part' : dueNoun(kind)} yet`;
  }
  return names.length > 8 ? '' : `; there ${names.length > 1 ? 'are' : 'is'} ${names.join(', ')}`;
}

function localNames(mechanism: Mechanism, kind: string): string[] {
  const fits = (type: string) =>
    kind === 'Named' ? true : kind === 'Anchor' ? type === 'Post' || type === 'Segment' : type === kind;
  return [...namesIn(mechanism).first].filter(([, { $type }]) => fits($type)).map(([name]) => name);
}

function definedNames(document: DesignDocument, kind: string, documents: LangiumDocuments): string[] {
  const designs = [document.parseResult.value, ...visibleDesigns(document.uri, documents)];
  return [...new Set(designs.flatMap((design) => [...definitionsIn(design, kind).first.keys()]))];
}

/** A definition of the same name but another kind. */
function otherDefinition(
  own: Design,
  kind: string,
  name: string,
  document: DesignDocument,
  documents: LangiumDocuments,
): Definition | undefined {
  for (const design of [own, ...visibleDesigns(document.uri, documents)]) {
    for (const other of ['Glyphs', 'Material', 'Process', 'Mechanism']) {
      const found = other === kind ? undefined : definitionsIn(design, other).first.get(name);
      if (found) return found;
    }
  }
  return undefined;
}

/** The part that a reference stands in, for what the finding is about. */
function partOf(node: AstNode): string[] {
  let at = node;
  while (at.$container && !isMechanism(at.$container)) at = at.$container;
  if (isMesh(at)) return [at.gears.map(({ $refText }) => $refText).join('–')];
  const { name } = at as { name?: string };
  return name && isMechanism(at.$container) ? [name] : [];
}

// ---- names that stand for two things -----------------------------------------------

function takenNames(document: DesignDocument, documents: LangiumDocuments): Problem[] {
  const design = document.parseResult.value;
  const problems: Problem[] = [];
  for (const kind of ['Glyphs', 'Material', 'Process', 'Mechanism']) {
    const names = definitionsIn(design, kind);
    problems.push(...taken(names, `two of a kind in one file need different names`));
    for (const file of importedFiles(design, document.uri).length ? visibleDesigns(document.uri, documents) : []) {
      if (isLibraryFile(fileOf(file))) continue;
      for (const [name, node] of names.first) {
        const same = definitionsIn(file, kind).first.get(name);
        if (!same) continue;
        problems.push({
          code: 'name-taken',
          severity: 'warning',
          message: `${kindName(kind)} called '${name}' is brought in as well; this one counts here`,
          ...nameStretch(node),
          related: [{ place: placeOf(same), from: 0, to: 0, message: `the other ${dueNoun(kind)}` }],
        });
      }
    }
  }
  for (const statement of design.statements) {
    if (isMechanism(statement)) problems.push(...taken(namesIn(statement), 'all names of a mechanism share one space'));
  }
  return problems;
}

function taken<T extends AstNode & { name?: string }>({ first, again }: Names<T>, why: string): Problem[] {
  return again.slice(0, mostProblems + 1).map((node) => {
    const name = node.name!;
    const holder = first.get(name)!;
    let number = 2;
    while (first.has(`${name}${number}`)) number++;
    const other = `${name}${number}`;
    const stretch = nameStretch(node);
    return {
      code: 'name-taken',
      message: `'${name}' is taken by ${kindName(holder.$type)} already; ${why}`,
      ...stretch,
      about: isMechanism(node.$container) ? [name] : [],
      related: [{ ...nameStretch(holder), message: `'${name}' is made here` }],
      fixes: [{ title: `Call it ${other}`, edits: [{ ...stretch, text: other }] }],
    };
  });
}

function nameStretch(node: AstNode): { from: number; to: number } {
  const text = GrammarUtils.findNodeForProperty(node.$cstNode, 'name') ?? node.$cstNode;
  return { from: text?.offset ?? 0, to: text?.end ?? 0 };
}
