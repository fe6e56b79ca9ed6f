import fc from 'fast-check';

/** Property tests try the same examples in every run, so that a failure is one for everybody. */
fc.configureGlobal({ seed: 20261125 });
