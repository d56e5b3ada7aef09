/** One mechanism: from syntax tree to meaning. */
import { type AstNode, GrammarUtils } from 'langium';
import { type Default, defaultLimits } from './defaults.ts';
import { reckon } from './expressions.ts';
import type * as ast from './generated/ast.ts';
import type { Acceptance, Count, Frame, Given, GlyphTable, Limits, Mechanism, Place, Process } from './mechanism.ts';
import { namesIn } from './names.ts';
import { nameOf, scalars, values } from './properties.ts';
import {
  type Block,
  choice,
  fallback,
  gather,
  number,
  type Reading,
  reference,
  type Said,
  scalar,
  symbols,
  tellTwice,
} from './reading.ts';
import {
  readBand,
  readCam,
  readFrame,
  readGear,
  readKey,
  readMesh,
  readPost,
  readPush,
  readRatchet,
  readSegment,
  readShaft,
  readSpring,
  type Setting,
} from './resolve-parts.ts';
import { type Tables, usualProcess } from './resolve-tables.ts';
import { placeOf, placeOfFeature, takeAway, tell } from './telling.ts';
import { say, type Wanted } from './units.ts';

/** Stretches at which the parser stumbled: the token it did not expect, and the one before. */
export type Stumbles = readonly { readonly at: number; readonly after: number }[];

/** The meaning of a mechanism; what is wrong with it is told on the way. */
export function readMechanism(reading: Reading, node: ast.Mechanism, tables: Tables, stumbles: Stumbles): Mechanism {
  const { telling } = reading;
  const place = placeOfFeature(telling, node, 'name');
  const members = sorted(node);
  for (const each of members.Let) reckonLet(reading, each);

  const unclear: string[] = strays(node, stumbles) ? ['*'] : [];
  const said: Said = { name: node.name, place, blocks: [gather(reading, members.Property)], unclear, real: true };
  const process = processOf(reading, said, tables);
  const brokenKinds = new Set<string>(
    members.Every.filter((each) => stumblesIn(each, stumbles)).map(({ kind }) => kind),
  );
  const setting: Setting = {
    reading,
    process,
    processOf: (named) => tables.process(named).value,
    broken: (member) => stumblesIn(member, stumbles) || brokenKinds.has(member.$type.toLowerCase()),
  };

  const every = everyOf(reading, members.Every);
  const layers = (kind: ast.Every['kind']) => every.get(kind) ?? noBlocks;
  const shafts = members.Shaft.map((each) => readShaft(setting, each, layers('shaft')));
  const gears = members.Gear.map((each) => readGear(setting, each, layers('gear')));
  const segments = members.Segment.map((each) => readSegment(setting, each, layers('segment')));
  const byName = new Map(segments.map((segment) => [segment.name, segment]));
  const camLayers = (cam: ast.Cam) => {
    const shaft = cam.shaft?.ref;
    const narrow = shaft ? (every.get(shaft) ?? noBlocks) : noBlocks;
    return [...narrow, ...layers('cam')];
  };
  const cams = members.Cam.map((each) => readCam(setting, each, camLayers(each), byName));
  const meshes = members.Mesh.flatMap((each) => readMesh(setting, each, layers('mesh'), gears) ?? []);
  for (const each of members.Every) readEvery(setting, each);
  tellRivals(reading, shafts);
  tellSamePairs(reading, meshes);

  const first = namesIn(node).first;
  const kept = <T extends AstNode & { name: string }, P>(nodes: readonly T[], parts: readonly P[]): P[] => {
    const those = parts.filter((_, i) => first.get(nodes[i]!.name) === (nodes[i] as AstNode));
    if (those.length < parts.length) unclear.push(nodes[0]!.$type.toLowerCase());
    return those;
  };
  if (meshes.length < members.Mesh.length) unclear.push('mesh');
  return {
    name: node.name,
    place,
    whole: placeOf(telling, node),
    about: aboutOf(reading, members.About),
    process,
    assembled:
      choice(reading, said, 'assembled') ??
      fallback(reading, said, 'assembled', 'dry', 'dry', 'dry where nothing is said of grease'),
    glyphs: glyphsOf(reading, said, tables),
    count: countOf(reading, said, members.Count),
    runs:
      choice(reading, said, 'runs') ??
      fallback(reading, said, 'runs', 'forward', 'forward', 'the order of count is that of forward steps'),
    shafts: kept(members.Shaft, shafts),
    keys: kept(
      members.Key,
      members.Key.map((each) => readKey(setting, each)),
    ),
    gears: kept(members.Gear, gears),
    meshes,
    segments: kept(members.Segment, segments),
    cams: kept(members.Cam, cams),
    springs: kept(
      members.Spring,
      members.Spring.map((each) => readSpring(setting, each)),
    ),
    posts: kept(
      members.Post,
      members.Post.map((each) => readPost(setting, each)),
    ),
    bands: kept(
      members.Band,
      members.Band.map((each) => readBand(setting, each)),
    ),
    ratchets: kept(
      members.Ratchet,
      members.Ratchet.map((each) => readRatchet(setting, each)),
    ),
    pushes: kept(
      members.Push,
      members.Push.map((each) => readPush(setting, each)),
    ),
    frame: frameOf(setting, members.Frame),
    limits: limitsOf(setting, place, members.Limits),
    acceptances: acceptancesOf(reading, members.Accept),
    bought: boughtOf(reading, members.Bought),
    unclear,
    defaults: reading.defaults,
  };
}

const noBlocks: readonly Block[] = [];

// ---- the members by kind -------------------------------------------------------------

type Members = { readonly [K in ast.Member['$type']]: Extract<ast.Member, { $type: K }>[] };

function sorted(node: ast.Mechanism): Members {
  const members: Members = {
    About: [],
    Accept: [],
    Band: [],
    Bought: [],
    Cam: [],
    Count: [],
    Every: [],
    Frame: [],
    Gear: [],
    Key: [],
    Let: [],
    Limits: [],
    Mesh: [],
    Post: [],
    Property: [],
    Push: [],
    Ratchet: [],
    Segment: [],
    Shaft: [],
    Spring: [],
  };
  for (const member of node.members) (members[member.$type] as ast.Member[] | undefined)?.push(member);
  return members;
}

/** Reckons a `let`, whether anything uses it or not. */
function reckonLet(reading: Reading, node: ast.Let): void {
  if (reading.lets.has(node)) return;
  reading.lets.set(node, 'under way');
  reading.lets.set(node, reckon(reading, node.value));
}

/** Whether the parser stumbled over something in a statement, or right after it. */
function stumblesIn(member: AstNode, stumbles: Stumbles): boolean {
  const text = member.$cstNode;
  if (!text || !stumbles.length) return false;
  return stumbles.some(
    ({ at, after }) => (text.offset < at && at < text.end) || (text.offset <= after && after < text.end),
  );
}

/** Whether the parser stumbled over something in a mechanism that belongs to none of its statements. */
function strays(node: ast.Mechanism, stumbles: Stumbles): boolean {
  const whole = node.$cstNode;
  if (!whole) return false;
  return stumbles.some(
    ({ at, after }) =>
      whole.offset <= after &&
      after <= whole.end &&
      !node.members.some(({ $cstNode: text }) => text && text.offset <= at && at < text.end),
  );
}

/** The blocks of `every …` that apply, by kind; those for the cams of one shaft by that shaft. */
function everyOf(reading: Reading, nodes: readonly ast.Every[]): Map<ast.Every['kind'] | ast.Shaft, readonly Block[]> {
  const groups = new Map<ast.Every['kind'] | ast.Shaft, ast.Property[]>();
  for (const node of nodes) {
    const scope = node.shaft ? node.shaft.ref : node.kind;
    if (!scope) continue;
    const group = groups.get(scope);
    if (group) group.push(...node.properties);
    else groups.set(scope, [...node.properties]);
  }
  const lobes = new Set(['lobe']);
  return new Map([...groups].map(([scope, properties]) => [scope, [gather(reading, properties, lobes)]]));
}

/** Reads an `every …` for its own sake: what is wrong in it is told whether a part uses it or not. */
function readEvery(setting: Setting, node: ast.Every): void {
  switch (node.kind) {
    case 'cam':
      readCam(setting, node, noBlocks, new Map());
      break;
    case 'segment':
      readSegment(setting, node, noBlocks);
      break;
    case 'gear':
      readGear(setting, node, noBlocks);
      break;
    case 'mesh':
      readMesh(setting, node, noBlocks, []);
      break;
    case 'shaft':
      readShaft(setting, node, noBlocks);
      break;
  }
}

// ---- statements of the mechanism itself --------------------------------------------------

/** The first of statements that a mechanism has one of; tells of the others. */
function only<T extends AstNode>(reading: Reading, what: string, nodes: readonly T[]): T | undefined {
  const [first, ...others] = nodes;
  for (const other of others) tellTwice(reading, what, other, first!);
  return first;
}

function processOf(reading: Reading, said: Said, tables: Tables): Process {
  const property = said.blocks[0]?.get('made');
  const named = property?.process?.ref;
  if (named) {
    const piece = tables.process(named);
    reading.defaults.push(...piece.defaults);
    return piece.value;
  }
  const usual = usualProcess(said.place);
  if (property) said.unclear.push(nameOf('made'));
  else fallback(reading, said, nameOf('made'), usual, usual.name, 'the library’s process where none is named');
  return usual;
}

function glyphsOf(reading: Reading, said: Said, tables: Tables): Given<GlyphTable> | undefined {
  const property = said.blocks[0]?.get('glyphs');
  if (!property) return undefined;
  const named = property.table?.ref;
  if (!named) {
    said.unclear.push('glyphs');
    return undefined;
  }
  const { value } = tables.glyphs(named);
  if (value.unclear.length) {
    said.unclear.push('glyphs');
    return undefined;
  }
  return { value, place: placeOfFeature(reading.telling, property, 'table'), by: 'stated' };
}

function countOf(reading: Reading, said: Said, nodes: readonly ast.Count[]): Count | undefined {
  const node = only(reading, 'count', nodes);
  if (!node) return undefined;
  const counted = symbols(reading, node.symbols);
  const times = number(reading, node.times, values.times, 'times');
  const place = placeOf(reading.telling, node);
  if (!node.symbols.length) {
    tell(reading.telling, 'bad-value', 'count names the symbols in the order they are shown: count 0 1 2 3', place);
  }
  const repeated = node.times ?? GrammarUtils.findNodeForKeyword(node.$cstNode, 'times');
  if (!counted.length || counted.length < node.symbols.length || (repeated && !times)) {
    said.unclear.push('count');
    return undefined;
  }
  return { symbols: counted, times: times?.value ?? 1, place };
}

function aboutOf(reading: Reading, nodes: readonly ast.About[]): Mechanism['about'] {
  const node = only(reading, 'about', nodes);
  const block = gather(reading, node?.properties ?? []);
  const text = (word: string) => block.get(word)?.text;
  return { title: text('title'), revision: text('revision'), author: text('author'), licence: text('licence') };
}

function limitsOf({ reading, broken }: Setting, place: Place, nodes: readonly ast.Limits[]): Limits {
  const node = only(reading, 'limits', nodes);
  const said: Said = {
    name: 'limits',
    place: node ? placeOf(reading.telling, node) : place,
    blocks: [gather(reading, node?.properties ?? [])],
    unclear: node && broken(node) ? ['*'] : [],
    real: true,
  };
  const wanted = scalars.limits;
  const usual = (word: string, { value, because }: Default<number>, want: Wanted) =>
    fallback(reading, said, nameOf(word), value, say(value, want), because);
  return {
    pressureAngle:
      scalar(reading, said, 'pressure', wanted.pressure) ??
      usual('pressure', defaultLimits.pressureAngle, wanted.pressure.wants),
    push: scalar(reading, said, 'push', wanted.push),
    return:
      scalar(reading, said, 'return', wanted.return) ?? usual('return', defaultLimits.return, wanted.return.wants),
    shown: scalar(reading, said, 'shown', wanted.shown) ?? usual('shown', defaultLimits.shown, wanted.shown.wants),
    hidden:
      scalar(reading, said, 'hidden', wanted.hidden) ?? usual('hidden', defaultLimits.hidden, wanted.hidden.wants),
    unclear: said.unclear,
  };
}

function frameOf(setting: Setting, nodes: readonly ast.Frame[]): Frame | undefined {
  const node = only(setting.reading, 'frame', nodes);
  return node && readFrame(setting, node);
}

function acceptancesOf(reading: Reading, nodes: readonly ast.Accept[]): Acceptance[] {
  const { telling } = reading;
  const first = new Map<string, ast.Accept>();
  return nodes.flatMap((node) => {
    const subject = reference(reading, node.subject);
    if (!node.code || (node.subject && !subject)) return [];
    const key = `${node.code} ${subject?.name ?? ''}`;
    const before = first.get(key);
    const place = placeOf(telling, node);
    if (before) {
      tellTwice(reading, `accept ${key.trim().replace(' ', ' on ')}`, node, before);
      return [];
    }
    first.set(key, node);
    if (!node.reason) {
      const on = subject ? ` on ${subject.name}` : '';
      tell(telling, 'bad-value', `say why it is accepted: accept ${node.code}${on} "why"`, place);
    }
    return [{ code: node.code, on: subject?.name, reason: node.reason ?? '', place }];
  });
}

function boughtOf(reading: Reading, nodes: readonly ast.Bought[]): Mechanism['bought'] {
  return nodes.flatMap((node) => {
    const found = number(reading, node.number, values.number, 'the number bought');
    if (!found || node.what === undefined) return [];
    return [{ number: found.value, what: node.what, place: placeOf(reading.telling, node) }];
  });
}

// ---- what two statements say together ---------------------------------------------------------

/** Only one shaft leads. */
function tellRivals(reading: Reading, shafts: Mechanism['shafts']): void {
  const leading = shafts.filter(({ leads }) => leads);
  const [first, ...others] = leading;
  for (const { name, leads } of others) {
    tell(reading.telling, 'said-twice', `${name} and ${first!.name} cannot both lead; the first counts`, leads!.place, {
      about: [name, first!.name],
      related: [{ place: first!.leads!.place, message: `${first!.name} leads here` }],
      fixes: leads!.by === 'stated' ? [takeAway(`Let ${first!.name} lead alone`, leads!.place)] : [],
    });
  }
}

/** Two gears mesh once. */
function tellSamePairs(reading: Reading, meshes: Mechanism['meshes']): void {
  const first = new Map<string, Mechanism['meshes'][number]>();
  for (const mesh of meshes) {
    const key = mesh.gears
      .map(({ name }) => name)
      .sort()
      .join(' ');
    const before = first.get(key);
    if (!before) first.set(key, mesh);
    else {
      tell(reading.telling, 'said-twice', `${mesh.name} is said twice; the first counts`, mesh.whole, {
        about: [mesh.name],
        related: [{ place: before.whole, message: `${before.name} is said here first` }],
        fixes: [takeAway('Take the second away', mesh.whole)],
      });
    }
  }
}
