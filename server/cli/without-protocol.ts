/**
 * Stands in the command line's bundle for the editor protocol, of which the language library takes these few things:
 * a check from the command line is never cancelled and tells nobody. Leaving the protocol out makes it start sooner.
 */
const nothing = { dispose() {} };

export const CancellationToken = {
  None: Object.freeze({ isCancellationRequested: false, onCancellationRequested: () => nothing }),
  is: (value: unknown): boolean => value === CancellationToken.None,
};

export class CancellationTokenSource {
  readonly token = CancellationToken.None;
  cancel(): void {}
  dispose(): void {}
}

export class Emitter {
  readonly event = () => nothing;
  fire(): void {}
  dispose(): void {}
}

export const LSPErrorCodes = { RequestFailed: -32803, ServerCancelled: -32802 };

export class ResponseError extends Error {}
