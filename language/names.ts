/**
 * What a name stands for. All names of a mechanism share one space; tables, materials, processes and mechanisms have
 * one each, in which the file's own go before the imported and these before the library's. Look-up is by map.
 */
import {
  type AstNode,
  type AstNodeDescription,
  type AstNodeLocator,
  AstUtils,
  CstUtils,
  DefaultIndexManager,
  DefaultLinker,
  type DefaultReference,
  type DocumentSegment,
  EMPTY_STREAM,
  type LangiumCoreServices,
  type LangiumDocument,
  type LangiumDocuments,
  type LangiumSharedCoreServices,
  type LinkingError,
  type LocalSymbols,
  type Reference,
  type ReferenceDescription,
  type ReferenceInfo,
  type Scope,
  type ScopeComputation,
  type ScopeProvider,
  type Stream,
  stream,
} from 'langium';
import {
  type Design,
  type Glyphs,
  isMechanism,
  isNamed,
  type Material,
  type Mechanism,
  type Named,
  type Process,
} from './generated/ast.ts';
import { visibleDesigns } from './imports.ts';
import { designOf } from './places.ts';

/** What a file can define for others. */
export type Definition = Glyphs | Material | Process | Mechanism;

/** A table of names: what each stands for first, and what takes a name that is taken already. */
export interface Names<T extends AstNode> {
  readonly first: ReadonlyMap<string, T>;
  readonly again: readonly T[];
}

const ofMechanism = new WeakMap<Mechanism, Names<Named>>();
const ofDesign = new WeakMap<Design, ReadonlyMap<string, Names<Definition>>>();
const noNames: Names<Definition> = { first: new Map(), again: [] };

/** The names of one mechanism: its parts and its `let`s. */
export function namesIn(mechanism: Mechanism): Names<Named> {
  let names = ofMechanism.get(mechanism);
  if (!names) {
    names = tabled(
      mechanism.members.filter((member): member is Exclude<typeof member, Mechanism> & Named => isNamed(member)),
    );
    ofMechanism.set(mechanism, names);
  }
  return names;
}

/** The definitions that a file makes itself, of one kind (`Glyphs`, `Material`, `Process`, `Mechanism`). */
export function definitionsIn(design: Design, kind: string): Names<Definition> {
  let kinds = ofDesign.get(design);
  if (!kinds) {
    const sorted = new Map<string, Definition[]>();
    for (const statement of design.statements) {
      if (statement.$type === 'Import') continue;
      const same = sorted.get(statement.$type);
      if (same) same.push(statement);
      else sorted.set(statement.$type, [statement]);
    }
    kinds = new Map([...sorted].map(([name, same]) => [name, tabled(same)]));
    ofDesign.set(design, kinds);
  }
  return kinds.get(kind) ?? noNames;
}

function tabled<T extends AstNode & { name?: string }>(nodes: readonly T[]): Names<T> {
  const first = new Map<string, T>();
  const again: T[] = [];
  for (const node of nodes) {
    if (!node.name) continue;
    if (first.has(node.name)) again.push(node);
    else first.set(node.name, node);
  }
  return { first, again };
}

/** The mechanism whose text holds a node. */
export function mechanismOf(node: AstNode): Mechanism | undefined {
  let at: AstNode | undefined = node;
  while (at && !isMechanism(at)) at = at.$container;
  return at;
}

const definitionKinds: ReadonlySet<string> = new Set(['Glyphs', 'Material', 'Process']);

export class LobeScopeProvider implements ScopeProvider {
  private readonly documents: () => LangiumDocuments;
  private readonly reflection: LangiumSharedCoreServices['AstReflection'];
  private readonly locator: AstNodeLocator;

  constructor(services: LangiumCoreServices) {
    this.documents = () => services.shared.workspace.LangiumDocuments;
    this.reflection = services.shared.AstReflection;
    this.locator = services.workspace.AstNodeLocator;
  }

  getScope(context: ReferenceInfo): Scope {
    return {
      getElement: (name) => this.describe(this.find(context, name)),
      getElements: (name) => {
        const found = this.describe(this.find(context, name));
        return found ? stream([found]) : EMPTY_STREAM;
      },
      getAllElements: () => stream(this.all(context)).map((node) => this.describe(node)!),
    };
  }

  /** What a name stands for where it is used, if it is of the kind that is due there. */
  find(context: ReferenceInfo, name: string): AstNode | undefined {
    const kind = this.reflection.getReferenceType(context);
    if (definitionKinds.has(kind)) {
      for (const design of this.designs(context.container)) {
        const found = definitionsIn(design, kind).first.get(name);
        if (found && found !== context.container) return found;
      }
      return undefined;
    }
    const mechanism = mechanismOf(context.container);
    if (!mechanism) return undefined;
    const found = namesIn(mechanism).first.get(name) ?? (mechanism.name === name ? mechanism : undefined);
    return found && this.reflection.isSubtype(found.$type, kind) ? found : undefined;
  }

  /** All that may stand where a name is used, each name once. */
  all(context: ReferenceInfo): AstNode[] {
    const kind = this.reflection.getReferenceType(context);
    if (definitionKinds.has(kind)) {
      const found = new Map<string, AstNode>();
      for (const design of this.designs(context.container)) {
        for (const [name, node] of definitionsIn(design, kind).first) {
          if (!found.has(name) && node !== context.container) found.set(name, node);
        }
      }
      return [...found.values()];
    }
    const mechanism = mechanismOf(context.container);
    if (!mechanism) return [];
    return [...namesIn(mechanism).first.values(), mechanism].filter((node) =>
      this.reflection.isSubtype(node.$type, kind),
    );
  }

  private *designs(node: AstNode): Iterable<Design> {
    const design = designOf(node);
    yield design;
    const uri = design.$document?.uri;
    if (uri) yield* visibleDesigns(uri, this.documents());
  }

  describe(node: AstNode | undefined): AstNodeDescription | undefined {
    return node && describe(node, this.locator);
  }
}

const descriptions = new WeakMap<AstNode, AstNodeDescription>();

/** What the parser library wants to know of a named node; worked out on demand, once. */
function describe(node: AstNode, locator: AstNodeLocator): AstNodeDescription {
  let description = descriptions.get(node);
  if (!description) {
    const document = AstUtils.getDocument(node);
    let path: string | undefined;
    let segment: DocumentSegment | undefined;
    description = {
      node,
      name: (node as Named).name,
      type: node.$type,
      documentUri: document.uri,
      get path() {
        path ??= locator.getAstNodePath(node);
        return path;
      },
      get nameSegment() {
        segment ??= CstUtils.toDocumentSegment(node.$cstNode);
        return segment;
      },
      get selectionSegment() {
        segment ??= CstUtils.toDocumentSegment(node.$cstNode);
        return segment;
      },
    };
    descriptions.set(node, description);
  }
  return description;
}

const noSymbols: LocalSymbols = { has: () => false, getStream: () => EMPTY_STREAM };

/** Only a file's top-level definitions are known to others; inside a file the scope provider asks the maps. */
export class LobeScopeComputation implements ScopeComputation {
  private readonly locator: AstNodeLocator;

  constructor(services: LangiumCoreServices) {
    this.locator = services.workspace.AstNodeLocator;
  }

  async collectExportedSymbols(document: LangiumDocument): Promise<AstNodeDescription[]> {
    const design = document.parseResult.value as Design;
    return (design.statements ?? []).flatMap((statement) =>
      statement.$type !== 'Import' && statement.name ? [describe(statement, this.locator)] : [],
    );
  }

  async collectLocalSymbols(): Promise<LocalSymbols> {
    return noSymbols;
  }
}

/** Links at once and without building scopes: the parser notes each reference as it makes it. */
export class LobeLinker extends DefaultLinker {
  private readonly kept = new WeakMap<AstNode, readonly ReferenceInfo[]>();

  /** These are the references of a tree. */
  keep(root: AstNode, references: readonly ReferenceInfo[]): void {
    this.kept.set(root, references);
  }

  override async link(document: LangiumDocument): Promise<void> {
    this.linkNow(document);
  }

  /** Follows every reference of a document whose imports have been read. */
  linkNow(document: LangiumDocument): void {
    for (const info of this.kept.get(document.parseResult.value) ?? []) this.doLink(info, document);
  }

  override getCandidate(info: ReferenceInfo): AstNodeDescription | LinkingError {
    const scopes = this.scopeProvider as LobeScopeProvider;
    const node = scopes.find(info, info.reference.$refText);
    return scopes.describe(node) ?? this.createLinkingError(info);
  }
}

/** Keeps no list of references of its own: who refers to what is asked of the documents when someone wants to know. */
export class LobeIndexManager extends DefaultIndexManager {
  override async updateReferences(): Promise<void> {}

  override findAllReferences(target: AstNode, _path: string): Stream<ReferenceDescription> {
    const found: ReferenceDescription[] = [];
    for (const document of this.documents.all) {
      for (const reference of document.references as Reference[]) {
        if (reference.ref === target && reference.$refNode) found.push(this.referring(document, reference, target));
      }
    }
    return stream(found);
  }

  override isAffected(document: LangiumDocument, changed: Set<string>): boolean {
    return visibleDesigns(document.uri, this.documents).some((design) => {
      const uri = design.$document?.uri.toString();
      return uri !== undefined && changed.has(uri);
    });
  }

  private referring(document: LangiumDocument, reference: Reference, target: AstNode): ReferenceDescription {
    const locator = this.serviceRegistry.getServices(document.uri).workspace.AstNodeLocator;
    const container = reference.$refNode!.astNode;
    const targetUri = AstUtils.getDocument(target).uri;
    return {
      sourceUri: document.uri,
      sourcePath: locator.getAstNodePath(container),
      targetUri,
      targetPath: locator.getAstNodePath(target),
      segment: CstUtils.toDocumentSegment(reference.$refNode!),
      local: targetUri.toString() === document.uri.toString(),
    };
  }
}

/** A reference that has been followed and stands for nothing. */
export function brokenReferences(document: LangiumDocument): (DefaultReference & { readonly error: LinkingError })[] {
  return (document.references as DefaultReference[]).filter(
    (reference): reference is DefaultReference & { readonly error: LinkingError } => reference.error !== undefined,
  );
}
