import { existsSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { committedVersions, type Git, type Repository } from '../../extension/committed.ts';
import { afterCrash } from '../../extension/crashes.ts';
import { newest } from '../../extension/newest.ts';
import { findingAsked, findingPagePath } from '../../extension/pages.ts';
import { statusKind } from '../../extension/standing.ts';
import { contentPolicy, webviewPage } from '../../extension/webview-page.ts';

describe('a link to a finding', () => {
  const shipped = ['steep-cam', 'long-travel'];
  it('is answered for shipped pages', () => {
    expect(findingAsked('/finding/steep-cam', shipped)).toBe('steep-cam');
    expect(findingPagePath('steep-cam').join('/')).toBe('extension/docs/findings/steep-cam.md');
  });

  it.each([
    '/finding/no-such-page',
    '/finding/../../package',
    '/finding/steep-cam/../long-travel',
    '/finding/steep-cam.md',
    '/finding/steep-cam/',
    '/finding/Steep-Cam',
    '/finding/',
    '/steep-cam',
    '/finding/steep%2Dcam',
    '/finding/steep-cam\n',
    '',
  ])('%j is no link of ours', (path) => {
    expect(findingAsked(path, shipped)).toBeUndefined();
  });

  it('reaches a file for every page that the build tells of', () => {
    const folder = 'extension/docs/findings';
    if (!existsSync(folder)) return;
    const codes = readdirSync(folder).map((name) => name.replace(/\.md$/, ''));
    for (const code of codes) expect(findingAsked(`/finding/${code}`, codes), code).toBe(code);
  });
});

describe('the page of a webview', () => {
  const page = {
    cspSource: 'https://files.example',
    script: 'https://files.example/out/chart-webview.js?a=1&b="2"',
    nonce: 'n0nce',
    language: 'en',
    title: 'Phase chart',
  };
  const html = webviewPage(page);

  it('allows nothing that it does not need', () => {
    const policy = contentPolicy(page);
    expect(policy.startsWith("default-src 'none'")).toBe(true);
    expect(policy).not.toMatch(/unsafe-|\*|data:|connect-src|img-src|frame-src/);
    expect(policy).toContain("script-src 'nonce-n0nce'");
  });

  it('holds one script, with the nonce, and no handlers or styles of its own', () => {
    expect(html.match(/<script/g)).toHaveLength(1);
    expect(html).toContain('<script nonce="n0nce"');
    expect(html).not.toMatch(/\son\w+=|style=|<style|javascript:/);
  });

  it('keeps what it is given from becoming markup', () => {
    expect(html).toContain('?a=1&amp;b=&quot;2&quot;');
    expect(webviewPage({ ...page, title: '</title><script>' })).not.toContain('</title><script>');
  });
});

describe('following the newest state', () => {
  /** Questions as they were asked, each to be answered by hand. */
  function asked() {
    const questions: { uri: string; answer: (state: string) => void; fail: () => void }[] = [];
    const shown: string[] = [];
    const view = newest(
      (uri) =>
        new Promise<string>((resolve, reject) => {
          questions.push({ uri, answer: resolve, fail: () => reject(new Error('the server restarts')) });
        }),
      (uri, state) => shown.push(`${uri} ${state}`),
    );
    return { questions, shown, view };
  }
  const settle = () => new Promise((resolve) => setTimeout(resolve));

  it('asks once at a time, and once more for all that happened meanwhile', async () => {
    const { questions, shown, view } = asked();
    view.follow('a');
    for (let times = 0; times < 5; times++) view.changed('a');
    expect(questions).toHaveLength(1);
    questions[0]!.answer('1');
    await settle();
    expect(questions).toHaveLength(2);
    questions[1]!.answer('2');
    await settle();
    expect(questions).toHaveLength(2);
    expect(shown).toEqual(['a 1', 'a 2']);
  });

  it('drops the answer about a file that is no longer followed', async () => {
    const { questions, shown, view } = asked();
    view.follow('a');
    view.follow('b');
    questions[0]!.answer('late');
    await settle();
    expect(questions.map(({ uri }) => uri)).toEqual(['a', 'b']);
    questions[1]!.answer('1');
    await settle();
    expect(shown).toEqual(['b 1']);
  });

  it('does not mind changes of other files', () => {
    const { questions, view } = asked();
    view.changed('a');
    view.follow('b');
    view.changed('a');
    expect(questions.map(({ uri }) => uri)).toEqual(['b']);
  });

  it('keeps what it shows when a question fails, and asks again at the next change', async () => {
    const { questions, shown, view } = asked();
    view.follow('a');
    questions[0]!.fail();
    await settle();
    expect(shown).toEqual([]);
    view.changed('a');
    questions[1]!.answer('1');
    await settle();
    expect(shown).toEqual(['a 1']);
  });
});

describe('a server that stops by itself', () => {
  it('is started again, but not for ever', () => {
    let crashes: readonly number[] = [];
    const again = [0, 1, 2, 3, 4].map((second) => {
      const after = afterCrash(crashes, second * 1000);
      crashes = after.crashes;
      return after.again;
    });
    expect(again).toEqual([true, true, true, true, false]);
  });

  it('is forgiven after some minutes', () => {
    expect(afterCrash([0, 1, 2, 3], 10 * 60 * 1000)).toEqual({ crashes: [10 * 60 * 1000], again: true });
  });
});

describe('what the status says', () => {
  const fine = { server: 'running', stale: false, errors: 0, warnings: 0 } as const;
  it.each([
    [fine, 'clean'],
    [{ ...fine, warnings: 2 }, 'warnings'],
    [{ ...fine, errors: 1, warnings: 2 }, 'errors'],
    [{ ...fine, stale: true, errors: 1 }, 'stale'],
    [{ ...fine, server: 'stopped', stale: true }, 'stopped'],
    [{ ...fine, server: 'starting', errors: 3 }, 'starting'],
  ] as const)('%o: %s', (standing, kind) => {
    expect(statusKind(standing)).toBe(kind);
  });
});

describe('the committed version of a file', () => {
  const uri = (path: string, scheme = 'file') =>
    ({ scheme, fsPath: path, toString: () => `${scheme}://${path}` }) as unknown as Parameters<
      ReturnType<typeof committedVersions>['of']
    >[0];

  /** A repository whose newest commit has these files. */
  function repository(commit: string | undefined, files: Record<string, string>) {
    const listeners: (() => void)[] = [];
    let shown = 0;
    const state: { HEAD?: { commit?: string }; onDidChange: unknown } = {
      HEAD: { ...(commit && { commit }) },
      onDidChange: (listener: () => void) => {
        listeners.push(listener);
        return { dispose: () => listeners.splice(listeners.indexOf(listener), 1) };
      },
    };
    const known = {
      state,
      show: async (of: string, path: string) => {
        shown++;
        if (of !== state.HEAD?.commit || !(path in files)) throw new Error('no such path');
        return files[path]!;
      },
    } as unknown as Repository;
    const to = (commit: string) => {
      state.HEAD = { commit };
      for (const listener of listeners) listener();
    };
    return { known, files, to, touch: () => listeners.map((listener) => listener()), shown: () => shown, listeners };
  }

  it('is asked for once, until there is another commit', async () => {
    const repo = repository('c1', { '/pier/sign.lobe': 'first' });
    let changes = 0;
    const versions = committedVersions(
      async () => ({ getRepository: () => repo.known }),
      () => changes++,
    );
    expect(await versions.of(uri('/pier/sign.lobe'))).toEqual({ text: 'first' });
    expect(await versions.of(uri('/pier/sign.lobe'))).toEqual({ text: 'first' });
    expect(await versions.of(uri('/pier/new.lobe'))).toEqual({ text: null });
    repo.touch();
    expect([repo.shown(), changes]).toEqual([2, 0]);
    repo.files['/pier/sign.lobe'] = 'second';
    repo.to('c2');
    expect(changes).toBe(1);
    expect(await versions.of(uri('/pier/sign.lobe'))).toEqual({ text: 'second' });
    versions.dispose();
    expect(repo.listeners).toEqual([]);
  });

  it('is looked for in a repository that the editor has not opened yet', async () => {
    const repo = repository('c1', { '/far/sign.lobe': 'far' });
    const git: Git = {
      getRepository: () => null,
      getRepositoryRoot: async () => uri('/far'),
      openRepository: async () => repo.known,
    };
    const versions = committedVersions(
      async () => git,
      () => {},
    );
    expect(await versions.of(uri('/far/sign.lobe'))).toEqual({ text: 'far' });
  });

  it.each<[string, Git | undefined, string, string]>([
    ['no git', undefined, 'file', 'no git'],
    ['no file', { getRepository: () => null }, 'untitled', 'no git'],
    ['no repository', { getRepository: () => null }, 'file', 'no repository'],
    [
      'no repository that can be opened',
      { getRepository: () => null, getRepositoryRoot: () => Promise.reject(new Error('no')) },
      'file',
      'no repository',
    ],
    ['no commit', { getRepository: () => repository(undefined, {}).known }, 'file', 'no commit'],
  ])('is none where there is %s', async (_, git, scheme, not) => {
    const versions = committedVersions(
      async () => git,
      () => {},
    );
    expect(await versions.of(uri('/pier/sign.lobe', scheme))).toEqual({ not });
  });
});
