/** How a design stands, and the one thing of it that matters most. */
export type ServerState = 'starting' | 'running' | 'stopped';

export interface Standing {
  readonly server: ServerState;
  /** The text does not parse; what is shown of it is the last good one. */
  readonly stale: boolean;
  readonly errors: number;
  readonly warnings: number;
}

export type StatusKind = 'starting' | 'stopped' | 'stale' | 'errors' | 'warnings' | 'clean';

export function statusKind({ server, stale, errors, warnings }: Standing): StatusKind {
  if (server !== 'running') return server;
  if (stale) return 'stale';
  if (errors > 0) return 'errors';
  return warnings > 0 ? 'warnings' : 'clean';
}
