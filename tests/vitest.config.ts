import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/**/*.test.ts'],
    globalSetup: ['tests/build.ts'],
    testTimeout: 120_000,
    // Vitest leaves one core free, which on two cores is half of them; most tests wait for a program.
    maxWorkers: '100%',
  },
});
