/**
 * Glyph tables, materials and processes: from syntax tree to meaning. A table that says the same as when it was last
 * read, and stands on the same others, stays the same object.
 */
import { GrammarUtils } from 'langium';
import { defaultBed, defaultUndersize, filament, pla } from './defaults.ts';
import type {
  GlyphEntry as EntryNode,
  Glyphs,
  Material as MaterialNode,
  Process as ProcessNode,
} from './generated/ast.ts';
import type {
  Bed,
  Finding,
  Given,
  GlyphEntry,
  GlyphTable,
  Material,
  Place,
  Process,
  UsedDefault,
} from './mechanism.ts';
import { nearest } from './near.ts';
import { scalars, values } from './properties.ts';
import {
  fallback,
  gather,
  given,
  numbers,
  type Reading,
  readingOf,
  type Said,
  scalar,
  symbols,
  symbolText,
  tellListed,
  textOf,
} from './reading.ts';
import { featureText, placeOf, placeOfFeature, rewrite, takeAway, tell } from './telling.ts';
import { say, sayNumber, wants } from './units.ts';

type TableNode = Glyphs | MaterialNode | ProcessNode;

/** A table, what it was read from, and what was found wrong with it. */
export interface Piece<T = unknown> {
  readonly text: string;
  /** The table it stands on; `endless` where following them would come round again. */
  readonly base: Piece | 'endless' | undefined;
  readonly value: T;
  readonly problems: readonly Finding[];
  readonly defaults: readonly UsedDefault[];
}

/** Tables of the last run, by where they stand. */
export type Pieces = ReadonlyMap<string, Piece>;

/** The longest chain of tables like one another. */
const longestChain = 64;

/** The tables that one run comes across. */
export class Tables {
  readonly pieces = new Map<string, Piece>();
  private readonly byNode = new Map<TableNode, Piece>();
  private readonly previous: Pieces;

  constructor(previous: Pieces = new Map()) {
    this.previous = previous;
  }

  glyphs(node: Glyphs): Piece<GlyphTable> {
    // Followed without recursion, and in a circle only once round.
    const chain: Glyphs[] = [];
    let at: Glyphs | undefined = node;
    while (at && !this.byNode.has(at) && !chain.includes(at) && chain.length < longestChain) {
      chain.push(at);
      at = at.like?.ref;
    }
    let piece = at && (this.byNode.get(at) as Piece<GlyphTable> | undefined);
    const endless = piece ? undefined : at;
    for (const each of chain.reverse()) {
      const under = piece;
      piece = this.piece(each, under ?? (endless && 'endless'), (reading) => {
        if (!under && endless) tellEndless(reading, each, chain, endless);
        return readGlyphs(reading, each, under?.value);
      });
    }
    return piece!;
  }

  material(node: MaterialNode): Piece<Material> {
    return this.piece(node, undefined, (reading) => readMaterial(reading, node));
  }

  process(node: ProcessNode): Piece<Process> {
    const named = node.properties.find(({ word }) => word === 'material')?.material?.ref;
    const material = named && this.material(named);
    return this.piece(node, material, (reading) => readProcess(reading, node, material?.value));
  }

  private piece<T>(node: TableNode, base: Piece['base'], read: (reading: Reading) => T): Piece<T> {
    const known = this.byNode.get(node);
    if (known) return known as Piece<T>;
    const reading = readingOf(node);
    const { file, top, problems } = reading.telling;
    const text = textOf(node);
    const key = `${file} ${top}`;
    const before = this.previous.get(key);
    const piece =
      before && before.text === text && before.base === base
        ? (before as Piece<T>)
        : { text, base, value: read(reading), problems, defaults: reading.defaults };
    this.byNode.set(node, piece);
    this.pieces.set(key, piece);
    return piece;
  }
}

function tellEndless(reading: Reading, node: Glyphs, chain: readonly Glyphs[], end: Glyphs): void {
  const { telling } = reading;
  const place = placeOfFeature(telling, node, 'like');
  if (!chain.includes(end)) {
    tell(telling, 'bad-value', `more than ${longestChain} tables are like one another; bring some together`, place);
    return;
  }
  const names = chain.toReversed().map(({ name }) => name);
  const circle = names.slice(names.indexOf(end.name));
  const round = [...circle, end.name].join(' is like ');
  tell(telling, 'circular-like', `${node.name} is like itself: ${round}; take one 'like' away`, place, {
    about: circle,
  });
}

const partOf = (name: string, place: Place, blocks: Said['blocks']): Said => ({
  name,
  place,
  blocks,
  unclear: [],
  real: true,
});

// ---- glyphs ----------------------------------------------------------------------------

function readGlyphs(reading: Reading, node: Glyphs, like: GlyphTable | undefined): GlyphTable {
  const { telling } = reading;
  const listed = new Map<string, Place>();
  for (const list of node.segmentLists) {
    list.names.forEach((name, i) => {
      const place = placeOfFeature(telling, list, 'names', i);
      const first = listed.get(name);
      if (first) tellListed(reading, name, place, first);
      else listed.set(name, place);
    });
  }
  const known = new Set([...(like?.segments ?? []), ...listed.keys()]);
  // A table that lists no segments of its own, nor is like one, has those that its entries name.
  const strict = known.size > 0;
  const own = new Map<string, GlyphEntry>();
  for (const each of node.entries) {
    const entry = readEntry(reading, each, strict ? known : undefined);
    const first = entry && own.get(entry.symbol);
    if (first) {
      tell(telling, 'said-twice', `'${entry.symbol}' is given twice here; the first counts`, entry.place, {
        related: [{ place: first.place, message: `'${entry.symbol}' is given here first` }],
        fixes: [takeAway('Take the second away', entry.place)],
      });
    } else if (entry) own.set(entry.symbol, entry);
  }
  if (!strict) for (const { lit } of own.values()) for (const name of lit) known.add(name);
  const entries = (like?.entries ?? []).map((entry) => own.get(entry.symbol) ?? entry);
  const taken = new Set(entries.map(({ symbol }) => symbol));
  for (const entry of own.values()) if (!taken.has(entry.symbol)) entries.push(entry);
  const unclear = like ? like.unclear : GrammarUtils.findNodeForKeyword(node.$cstNode, 'like') ? ['like'] : [];
  return { name: node.name, place: placeOfFeature(telling, node, 'name'), segments: [...known], entries, unclear };
}

function readEntry(reading: Reading, node: EntryNode, known: ReadonlySet<string> | undefined): GlyphEntry | undefined {
  const { telling } = reading;
  const symbol = node.symbol && symbols(reading, [node.symbol])[0]?.text;
  if (symbol === undefined) return undefined;
  const place = placeOf(telling, node);
  if (!node.lit.length && !node.blank) {
    const written = featureText(node, 'symbol')?.text ?? symbolText(node.symbol);
    tell(telling, 'bad-value', `'${symbol}' shows nothing; name its segments, or write 'blank'`, place, {
      fixes: [rewrite(place, `${written} = blank`)],
    });
  }
  const lit = new Map<string, Place>();
  node.lit.forEach((name, i) => {
    const at = placeOfFeature(telling, node, 'lit', i);
    const first = lit.get(name);
    if (first) tellListed(reading, name, at, first);
    else if (known && !known.has(name)) {
      const near = nearest(name, known);
      const advice = near.length ? `did you mean ${near.join(' or ')}?` : `it has ${[...known].join(' ')}`;
      tell(telling, 'unknown-name', `the table has no segment '${name}'; ${advice}`, at, {
        fixes: near.map((other) => rewrite(at, other)),
      });
    } else lit.set(name, at);
  });
  return { symbol, lit: [...lit.keys()], place };
}

// ---- materials and processes --------------------------------------------------------------

function readMaterial(reading: Reading, node: MaterialNode): Material {
  const said = partOf(node.name, placeOfFeature(reading.telling, node, 'name'), [gather(reading, node.properties)]);
  const wanted = scalars.material;
  const material: Material = {
    name: node.name,
    modulus: scalar(reading, said, 'modulus', wanted.modulus),
    poisson: scalar(reading, said, 'poisson', wanted.poisson),
    density: scalar(reading, said, 'density', wanted.density),
    strain: scalar(reading, said, 'strain', wanted.strain),
    friction: scalar(reading, said, 'friction', wanted.friction),
    greased: scalar(reading, said, 'greased', wanted.greased),
    pessimistic: scalar(reading, said, 'pessimistic', wanted.pessimistic),
  };
  for (const word of ['friction', 'greased', 'pessimistic'] as const) tellFriction(reading, material, word);
  return material;
}

/** Tells friction under which nothing of this kind would slide. */
function tellFriction({ telling }: Reading, material: Material, word: 'friction' | 'greased' | 'pessimistic'): void {
  const given = material[word];
  if (!given || given.value <= 1) return;
  const usual = sayNumber(pla[word]);
  const message = `${word} ${sayNumber(given.value)} of ${material.name} is more than 1, under which hardly a follower slides; ${usual} is usual`;
  tell(telling, 'high-friction', message, given.place, {
    severity: 'warning',
    about: [material.name],
    fixes: [rewrite(given.place, usual)],
  });
}

function readProcess(reading: Reading, node: ProcessNode, material: Material | undefined): Process {
  const said = partOf(node.name, placeOfFeature(reading.telling, node, 'name'), [gather(reading, node.properties)]);
  const get = (word: Exclude<keyof typeof scalars.process, 'undersize'>): Given<number> =>
    scalar(reading, said, word, scalars.process[word]) ??
    fallback(reading, said, word, filament[word], say(filament[word], scalars.process[word].wants), filament.because);
  return {
    name: node.name,
    nozzle: get('nozzle'),
    layer: get('layer'),
    spread: get('spread'),
    undersize:
      scalar(reading, said, 'undersize', scalars.process.undersize) ??
      fallback(
        reading,
        said,
        'undersize',
        defaultUndersize.value,
        say(defaultUndersize.value, scalars.process.undersize.wants),
        defaultUndersize.because,
      ),
    clearance: get('clearance'),
    wall: get('wall'),
    drag: get('drag'),
    bed: bedOf(reading, said),
    material: material ?? usualMaterial(reading, said),
  };
}

function bedOf(reading: Reading, said: Said): Given<Bed> {
  const { value, because } = defaultBed;
  return (
    given(reading, said, 'bed', ({ width, height }) =>
      numbers(reading, { width: [width, values.side], depth: [height, values.side] }),
    ) ??
    fallback(
      reading,
      said,
      'bed',
      value,
      `${say(value.width, wants.length)} by ${say(value.depth, wants.length)}`,
      because,
    )
  );
}

function usualMaterial(reading: Reading, said: Said): Material {
  if (!said.blocks.some((block) => block.has('material'))) {
    reading.defaults.push({ of: `${said.name}.material`, value: pla.name, because: filament.because });
  }
  return plaAt(said.place);
}

function plaAt(place: Place): Material {
  const usual = (value: number): Given<number> => ({ value, place, by: 'default', because: filament.because });
  return {
    name: pla.name,
    modulus: usual(pla.modulus),
    poisson: usual(pla.poisson),
    density: usual(pla.density),
    strain: usual(pla.strain),
    friction: usual(pla.friction),
    greased: usual(pla.greased),
    pessimistic: usual(pla.pessimistic),
  };
}

/** The process of a mechanism that names none. */
export function usualProcess(place: Place): Process {
  const usual = (value: number): Given<number> => ({ value, place, by: 'default', because: filament.because });
  return {
    name: filament.name,
    nozzle: usual(filament.nozzle),
    layer: usual(filament.layer),
    spread: usual(filament.spread),
    undersize: { value: defaultUndersize.value, place, by: 'default', because: defaultUndersize.because },
    clearance: usual(filament.clearance),
    wall: usual(filament.wall),
    drag: usual(filament.drag),
    bed: { value: defaultBed.value, place, by: 'default', because: defaultBed.because },
    material: plaAt(place),
  };
}
