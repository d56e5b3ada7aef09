/** Files as they were committed last, from the git that comes with the editor. Kept until the newest commit is another. */
import type { Disposable, Event, Uri } from 'vscode';

/** What is used of the editor's git, as its extension publishes it (version 1). */
export interface Git {
  getRepository(file: Uri): Repository | null;
  getRepositoryRoot?(file: Uri): Promise<Uri | null>;
  openRepository?(root: Uri): Promise<Repository | null>;
}

export interface Repository {
  readonly state: { readonly HEAD?: { readonly commit?: string }; readonly onDidChange: Event<void> };
  /** Rejects where the commit has no such file. */
  show(commit: string, path: string): Promise<string>;
}

/** Why there is no committed version: no git to ask, a file in no repository, a repository without a commit. */
export type NoVersion = 'no git' | 'no repository' | 'no commit';

/** A text, null where the newest commit has none of that file, or why there cannot be one. */
export type CommittedVersion = { readonly text: string | null } | { readonly not: NoVersion };

export interface CommittedVersions extends Disposable {
  of(file: Uri): Promise<CommittedVersion>;
}

interface Watched {
  readonly subscription: Disposable;
  readonly texts: Map<string, Promise<string | null>>;
  commit: string | undefined;
}

/** `git` gives the editor's git, undefined where there is none; `changed` is told when a repository has another commit. */
export function committedVersions(git: () => Promise<Git | undefined>, changed: () => void): CommittedVersions {
  const watched = new Map<Repository, Watched>();

  function watch(repository: Repository): Watched {
    const known = watched.get(repository);
    if (known) return known;
    const { state } = repository;
    const fresh: Watched = {
      texts: new Map(),
      commit: state.HEAD?.commit,
      subscription: state.onDidChange(() => {
        if (state.HEAD?.commit === fresh.commit) return;
        fresh.commit = state.HEAD?.commit;
        fresh.texts.clear();
        changed();
      }),
    };
    watched.set(repository, fresh);
    return fresh;
  }

  /** The repository of a file, also where the editor has not come across it yet. */
  async function repositoryOf(file: Uri, known: Git): Promise<Repository | null> {
    const repository = known.getRepository(file);
    if (repository) return repository;
    const root = await known.getRepositoryRoot?.(file).catch(() => null);
    return (root && (await known.openRepository?.(root).catch(() => null))) ?? null;
  }

  return {
    async of(file) {
      const known = file.scheme === 'file' ? await git() : undefined;
      if (!known) return { not: 'no git' };
      const repository = await repositoryOf(file, known);
      if (!repository) return { not: 'no repository' };
      const { commit, texts } = watch(repository);
      if (commit === undefined) return { not: 'no commit' };
      const name = file.toString();
      const text = texts.get(name) ?? repository.show(commit, file.fsPath).catch(() => null);
      texts.set(name, text);
      return { text: await text };
    },
    dispose() {
      for (const { subscription } of watched.values()) subscription.dispose();
    },
  };
}
