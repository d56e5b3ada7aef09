import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
// @ts-expect-error a plain script that the build reads too
import { colours, wordsByRole } from '../../extension/syntaxes/colours.mjs';

const grammar = readFileSync('language/lobe.langium', 'utf8');

describe('the colours', () => {
  it('are those that the language grammar gives', () => {
    expect(JSON.parse(readFileSync('extension/syntaxes/lobe.tmLanguage.json', 'utf8'))).toEqual(colours(grammar));
  });

  it('know every word of the language once', () => {
    const words = Object.values(wordsByRole(grammar) as Record<string, string[]>).flat();
    expect(new Set(words).size).toBe(words.length);
    const rules = grammar.replace(/\/\/.*$/gm, '').replace(/^\s*(hidden )?terminal .*$/gm, '');
    for (const [, word] of rules.matchAll(/'([a-z]+)'/g)) expect(words, word).toContain(word);
  });

  it('tell statements, properties, choices and joints apart', () => {
    const { statements, properties, choices, joints } = wordsByRole(grammar);
    expect(statements).toContain('mechanism');
    expect(properties).toContain('azimuth');
    expect(choices).toContain('cycloidal');
    expect(joints).toContain('drives');
  });

  it('take a word after a number for a unit, but a symbol where symbols are listed', () => {
    const { repository } = colours(grammar);
    const value = new RegExp(repository.values.patterns[0].match);
    expect(value.exec('4.5 mm')?.slice(1)).toEqual(['4.5', undefined, 'mm']);
    expect(value.exec('90 %')?.slice(1)).toEqual(['90', '%', undefined]);
    expect(value.exec('10 mm')?.[3]).toBe('mm');
    expect(value.exec('44 by')?.[3]).toBeUndefined();
    expect(new RegExp(repository.symbols.begin).test('count 8 9 A b')).toBe(true);
    expect(new RegExp(repository.symbols.end).test('times')).toBe(true);
  });
});
