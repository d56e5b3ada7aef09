import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { formatText } from '../language/format.ts';
import { findingsIn } from './server/checks/findings.ts';

const folder = new URL('../examples/', import.meta.url);
const designs = readdirSync(folder)
  .filter((name) => name.endsWith('.lobe'))
  .map((name) => ({ name, text: readFileSync(new URL(name, folder), 'utf8') }));

/** Findings by line, as `line: code`, those accepted left out; lines count from 0. */
function foundIn(text: string): string[] {
  return findingsIn(text)
    .filter(({ accepted }) => accepted === undefined)
    .map(({ code, from }) => `${text.slice(0, from).split('\n').length - 1}: ${code}`)
    .sort();
}

/** What the comments promise: `// finds: code, code` speaks of the line below it. */
function promisedIn(text: string): string[] {
  return text
    .split('\n')
    .flatMap((line, at) => {
      const codes = /^\s*\/\/.*?\bfinds: (.+)$/.exec(line)?.[1];
      return codes ? codes.split(', ').map((code) => `${at + 1}: ${code}`) : [];
    })
    .sort();
}

describe('examples', () => {
  it.each(designs)('$name raises just what its comments say', ({ text }) => {
    expect(foundIn(text)).toEqual(promisedIn(text));
  });

  it('one of them is wrong in many ways, the others in none', () => {
    const grave = designs.filter(({ text }) => findingsIn(text).some(({ severity }) => severity === 'error'));
    expect(grave.map(({ name }) => name)).toEqual(['wrong-on-purpose.lobe']);
    expect(promisedIn(grave[0].text).length).toBeGreaterThan(10);
  });

  it.each(designs)('$name stands in the standard layout', ({ text }) => {
    expect(formatText(text)).toBe(text);
  });
});
