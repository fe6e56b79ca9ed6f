import base from './vitest.config.js';
export default (env: never) => {
  const c = (base as any)(env);
  return {
    test: {
      ...c.test,
      execArgv: [...c.test.execArgv, '--cpu-prof', '--cpu-prof-dir=/tmp/house-prof'],
    },
  };
};
