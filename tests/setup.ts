import fc from 'fast-check';

// The same cases at every run, so that a red test is about the change at hand; FC_SEED=... looks elsewhere.
fc.configureGlobal({ seed: Number(process.env.FC_SEED ?? '20260101') });
