import { describe, expect, it } from 'vitest';
import { readingPages } from '../../../language/reading-pages.ts';
import { valuePages } from '../../../language/value-pages.ts';
import { pages as checkPages, checks } from '../../../server/checks/index.ts';
import { findingsIn, unmarked } from './findings.ts';

const pages = [...readingPages, ...valuePages, ...checkPages];

/** Findings that one number may raise together, for each tells another of its effects. */
const alongside: Readonly<Record<string, string>> = {
  'teeth-clash': 'marks-apart',
};

describe('pages of the findings', () => {
  it('have codes of their own, in kebab-case', () => {
    const codes = pages.map(({ code }) => code);
    expect(new Set(codes).size).toBe(codes.length);
    for (const code of codes) expect(code).toMatch(/^[a-z]+(-[a-z]+)*$/);
  });

  it('say what they must', () => {
    for (const page of checkPages) {
      for (const text of [page.title, page.means, page.reckoned, page.source, page.worked, page.remedy])
        expect(text, page.code).toBeTruthy();
      const marked = page.examples.filter(({ text }) => text.includes('«'));
      expect(marked.length, page.code).toBeGreaterThan(0);
      expect(page.examples.length, page.code).toBeGreaterThan(marked.length);
    }
  });

  it('silence only what runs after them', () => {
    const codes = checks.map(({ code }) => code);
    for (const [i, { code, notBeside = [] }] of checks.entries())
      for (const cause of notBeside) expect(codes.slice(0, i), `${code} not beside ${cause}`).toContain(cause);
  });

  describe.each(pages.map((page) => [page.code, page] as const))('%s', (code, page) => {
    it.each(page.examples.map(({ title, text }) => [title, text] as const))('%s', (_, marked) => {
      const { text, marks } = unmarked(marked);
      const found = findingsIn(text);
      const told = found
        .map(({ severity, code, at, message }) => `${severity} ${code} at «${at}»: ${message}`)
        .join('\n');
      const own = found.filter((finding) => finding.code === code && finding.accepted === undefined);
      expect(
        own.map(({ from, to }) => ({ from, to })),
        told,
      ).toEqual(marks);
      const others = found.filter((one) => one.severity === 'error' || one.severity === 'warning');
      const grave = others.filter((one) => one.code !== code && one.accepted === undefined).map((one) => one.code);
      expect(
        grave.filter((other) => other !== alongside[code]),
        told,
      ).toEqual([]);
    });
  });
});
