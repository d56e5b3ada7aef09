import fc from 'fast-check';

// The gate says yes or no to a change, not to a draw of the lot: one seed, and another by `SEED=… npm test`.
fc.configureGlobal({ seed: Number(process.env.SEED ?? 1) });
