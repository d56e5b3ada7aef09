/**
 * Keeps a view on the newest state by asking for it when told that there is one (notify, then pull): one question at a
 * time, so that answers cannot overtake each other, and one more after it if something happened meanwhile. An answer
 * about a file that is no longer followed is dropped.
 */
export interface Newest {
  readonly uri: string | undefined;
  /** Shows this file from now on. */
  follow(uri: string): void;
  /** There may be something newer of this file. */
  changed(uri: string): void;
}

/** `ask` may fail (the server restarts): what is shown then stays until the next change. */
export function newest<State>(ask: (uri: string) => Promise<State>, show: (uri: string, state: State) => void): Newest {
  let followed: string | undefined;
  let asking = false;
  let again = false;

  async function pull(): Promise<void> {
    again = true;
    if (asking) return;
    asking = true;
    while (again && followed !== undefined) {
      again = false;
      const uri = followed;
      const answer = await ask(uri).then(
        (state) => ({ state }),
        () => undefined,
      );
      if (answer && uri === followed) show(uri, answer.state);
    }
    asking = false;
  }

  return {
    get uri() {
      return followed;
    },
    follow(uri) {
      followed = uri;
      void pull();
    },
    changed(uri) {
      if (uri === followed) void pull();
    },
  };
}
