import { AstUtils, GrammarAST } from 'langium';
import { describe, expect, test } from 'vitest';
import { keywords } from '../../language/keywords.ts';
import { scalars } from '../../language/properties.ts';
import { createLobeServices } from '../../language/services.ts';
import { units, wants } from '../../language/units.ts';
import { functions, innerWords, laws, type Room, rooms, unitsFor, unitWords } from '../../language/words.ts';

const { lobe } = createLobeServices();
const rules = lobe.Grammar.rules.filter(GrammarAST.isParserRule);
const inGrammar = new Set(
  lobe.Grammar.rules
    .flatMap((rule) => AstUtils.streamAllContents(rule).toArray())
    .filter(GrammarAST.isKeyword)
    .map(({ value }) => value)
    .filter((value) => /^[a-z]+$/.test(value)),
);

/** Words with which the alternatives of a rule begin. */
function beginnings(element: GrammarAST.AbstractElement): string[] {
  if (GrammarAST.isKeyword(element)) return [element.value];
  if (GrammarAST.isAssignment(element)) return beginnings(element.terminal);
  if (GrammarAST.isAlternatives(element)) return element.elements.flatMap(beginnings);
  if (GrammarAST.isGroup(element)) return beginnings(element.elements[0]!);
  if (GrammarAST.isRuleCall(element) && GrammarAST.isParserRule(element.rule.ref)) {
    return beginnings(element.rule.ref.definition);
  }
  return [];
}

const begins = (name: string) => beginnings(rules.find((rule) => rule.name === name)!.definition);

test('the keywords are those of the grammar', () => {
  expect([...keywords].sort()).toEqual([...inGrammar].sort());
});

test('every keyword is explained somewhere', () => {
  const explained = new Set([...Object.values(rooms).flatMap(Object.keys), ...Object.keys(innerWords)]);
  expect([...keywords].filter((word) => !explained.has(word))).toEqual([]);
  expect([...explained].filter((word) => !keywords.has(word))).toEqual([]);
});

describe('the words of a room are those with which the grammar begins', () => {
  test('statements', () => {
    expect(Object.keys(rooms.file).sort()).toEqual(['language', ...begins('Statement')].sort());
    expect(Object.keys(rooms.mechanism).sort()).toEqual(begins('Member').sort());
    expect(Object.keys(rooms.glyphs)).toEqual(begins('SegmentList'));
  });

  const others = (Object.keys(rooms) as Room[]).filter((room) => !['file', 'mechanism', 'glyphs'].includes(room));
  test.each(others)('%s', (room) => {
    const rule = `${room[0]!.toUpperCase()}${room.slice(1)}Property`;
    expect(Object.keys(rooms[room]).sort()).toEqual(begins(rule).sort());
  });
});

const all = (Object.keys(rooms) as Room[]).flatMap((room) =>
  Object.entries(rooms[room]).map(([name, word]) => ({ room, name, ...word })),
);

test('forms and examples begin with their word', () => {
  for (const { name, form, example } of all) {
    expect(form.split(' ')[0]).toBe(name);
    expect(example.split(' ')[0]).toBe(name);
  }
});

test('what a word takes is what the resolver asks for', () => {
  for (const { room, name, takes } of all) {
    const asked = (scalars as Record<string, Record<string, { wants: unknown }>>)[room]?.[name];
    if (asked) expect([room, name, takes && wants[takes]]).toEqual([room, name, asked.wants]);
  }
});

test('laws, functions and units are all there', () => {
  expect(Object.keys(unitWords).sort()).toEqual([...units.keys()].sort());
  expect(unitsFor('length')).toEqual(['mm', 'um', 'cm', 'in']);
  expect(unitsFor('angle')[0]).toBe('deg');
  expect(unitsFor('whole')).toEqual([]);
  expect(Object.keys(functions).sort()).toEqual(['cos', 'max', 'min', 'sin', 'sqrt', 'tan']);
  expect(Object.keys(laws)).toHaveLength(8);
});
