// The colours of a design, as a TextMate grammar made from the language's own grammar, so that the two cannot drift.
// `npm run generate` writes `lobe.tmLanguage.json`; semantic tokens then refine what stands here.

/** Text of the grammar without comments and terminals. */
function rulesOf(grammar) {
  return grammar
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .replace(/^\s*(hidden )?terminal .*$/gm, '')
    .replace(/(^|\s)\/\/.*$/gm, '$1');
}

/** The words between quotes in a piece of grammar. */
const wordsIn = (text) => [...text.matchAll(/'([a-z][a-z]*)'/g)].map(([, word]) => word);

/** Rules by name: their bodies. */
function bodies(rules) {
  const found = new Map();
  for (const [, name, body] of rules.matchAll(/^(?:entry |fragment )?(\w+)(?: infers \w+)?:\s*([^;]*);/gm))
    found.set(name, body);
  return found;
}

/**
 * The language's words by what they do in a sentence; a word stands in the first group that claims it.
 * @param {string} grammar text of `lobe.langium`
 */
export function wordsByRole(grammar) {
  const rules = rulesOf(grammar);
  const body = bodies(rules);
  const named = (rule) => (body.get(rule) ?? '').split('|').map((name) => name.trim());
  const statements = [...named('Statement'), ...named('Member')].map((rule) => wordsIn(body.get(rule) ?? '')[0]);
  const assigned = (property) =>
    [...rules.matchAll(new RegExp(`\\b${property}=(\\([^)]*\\)|'[a-z]+')`, 'g'))].flatMap(([, words]) =>
      wordsIn(words),
    );
  const taken = new Set();
  const claim = (words) => {
    const mine = [...new Set(words)].filter((word) => word && !taken.has(word)).sort();
    for (const word of mine) taken.add(word);
    return mine;
  };
  return {
    statements: claim(['language', ...statements]),
    properties: claim(assigned('word')),
    choices: claim(['choice', 'family', 'kind', 'blank\\?'].flatMap(assigned)),
    joints: claim(wordsIn(rules)),
  };
}

const name = '[A-Za-z_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ][A-Za-z0-9_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ]*';
/** Names of materials, processes and tables, where no value can stand. */
const hyphenated = `${name}(?:-[A-Za-z0-9_À-ÖØ-öø-ɏͰ-ϿЀ-ӿ]+)*`;
const number = '\\b[0-9]+(?:\\.[0-9]+)?';

/** A whole word of a list; names may hold letters that `\b` does not know. */
const oneOf = (words) => `(?<![\\wÀ-ÖØ-öø-ɏͰ-ϿЀ-ӿ])(?:${words.join('|')})(?![\\wÀ-ÖØ-öø-ɏͰ-ϿЀ-ӿ])`;

/**
 * The TextMate grammar.
 * @param {string} grammar text of `lobe.langium`
 */
export function colours(grammar) {
  const { statements, properties, choices, joints } = wordsByRole(grammar);
  const every = oneOf([...statements, ...properties, ...choices, ...joints]);
  return {
    $schema: 'https://raw.githubusercontent.com/martinring/tmlanguage/master/tmlanguage.json',
    name: 'Lobe',
    scopeName: 'source.lobe',
    patterns: [
      { include: '#comments' },
      { include: '#strings' },
      { include: '#symbols' },
      { include: '#acceptances' },
      { include: '#names' },
      { include: '#words' },
      { include: '#values' },
    ],
    repository: {
      comments: {
        patterns: [
          { name: 'comment.line.double-slash.lobe', match: '//.*$' },
          { name: 'comment.block.lobe', begin: '/\\*', end: '\\*/' },
        ],
      },
      strings: {
        name: 'string.quoted.double.lobe',
        begin: '"',
        end: '"|$',
        patterns: [{ name: 'constant.character.escape.lobe', match: '\\\\.' }],
      },
      symbols: {
        begin: '\\b(?:(count)|(raised)\\s+(at))\\b',
        beginCaptures: {
          1: { name: 'storage.type.lobe' },
          2: { name: 'variable.other.property.lobe' },
          3: { name: 'keyword.operator.word.lobe' },
        },
        end: `(?=[{}=]|${every})`,
        patterns: [
          { include: '#comments' },
          { include: '#strings' },
          { name: 'constant.numeric.lobe', match: number },
          { name: 'constant.other.symbol.lobe', match: name },
        ],
      },
      acceptances: {
        match: '\\b(accept)\\s+([a-z]+(?:-[a-z]+)*)',
        captures: { 1: { name: 'storage.type.lobe' }, 2: { name: 'constant.other.code.lobe' } },
      },
      names: {
        patterns: [
          {
            match: `(${oneOf(['material', 'process', 'glyphs'])})\\s+(?!${every}(?!-))(${hyphenated})`,
            captures: { 1: { name: 'storage.type.lobe' }, 2: { name: 'entity.name.type.lobe' } },
          },
          {
            match: `(${oneOf(['like', 'with'])})\\s+(?!${every}(?!-))(${hyphenated})`,
            captures: { 1: { name: 'keyword.operator.word.lobe' }, 2: { name: 'entity.name.type.lobe' } },
          },
          {
            match: `(${oneOf(statements)})\\s+(?!${every})(${name})`,
            captures: { 1: { name: 'storage.type.lobe' }, 2: { name: 'entity.name.type.lobe' } },
          },
        ],
      },
      words: {
        patterns: [
          { name: 'storage.type.lobe', match: oneOf(statements) },
          { name: 'variable.other.property.lobe', match: oneOf(properties) },
          { name: 'constant.language.lobe', match: oneOf(choices) },
          { name: 'keyword.operator.word.lobe', match: oneOf(joints) },
        ],
      },
      values: {
        patterns: [
          {
            match: `(${number})(?:[ \\t]*(%)|[ \\t]*(?!${every})([A-Za-z][A-Za-z0-9/]*))?`,
            captures: {
              1: { name: 'constant.numeric.lobe' },
              2: { name: 'keyword.other.unit.lobe' },
              3: { name: 'keyword.other.unit.lobe' },
            },
          },
          { name: 'support.function.lobe', match: `${name}(?=\\s*\\()` },
          { name: 'keyword.operator.lobe', match: '\\+/-|[-+*/=±]' },
          { name: 'punctuation.separator.lobe', match: ',' },
          { name: 'variable.other.lobe', match: name },
        ],
      },
    },
  };
}
