import { fileURLToPath } from 'node:url';

// Projects resolve a relative rootDir against the one above them, so both get the absolute path.
const rootDir = fileURLToPath(new URL('..', import.meta.url));

/**
 * Two tiers of one suite: `unit` needs no process but its own; `integration` starts a real PostgreSQL, a real
 * browser and real child processes, and therefore runs after a build.
 */
const shared = {
  rootDir,
  extensionsToTreatAsEsm: ['.ts'],
  testEnvironment: 'node',
  testEnvironmentOptions: { customExportConditions: ['node', 'development'] },
  moduleNameMapper: { '^(\\.{1,2}/.*)\\.js$': '$1' },
  modulePathIgnorePatterns: ['<rootDir>/dist/'],
  transform: {
    '^.+\\.ts$': [
      '@swc/jest',
      {
        // The build's .swcrc leaves out the tests themselves.
        swcrc: false,
        jsc: {
          target: 'es2023',
          parser: { syntax: 'typescript', decorators: true },
          transform: { legacyDecorator: true, decoratorMetadata: true, useDefineForClassFields: false },
          keepClassNames: true,
        },
        module: { type: 'es6' },
        sourceMaps: 'inline',
      },
    ],
  },
};

export default {
  rootDir,
  maxWorkers: 2,
  testTimeout: 60_000,
  projects: [
    {
      ...shared,
      displayName: 'unit',
      testMatch: [
        '<rootDir>/libs/**/*.spec.ts',
        '<rootDir>/apps/**/*.spec.ts',
        '<rootDir>/tests/conformance/**/*.test.ts',
      ],
    },
    {
      ...shared,
      displayName: 'integration',
      testMatch: ['<rootDir>/tests/**/*.test.ts'],
      testPathIgnorePatterns: ['<rootDir>/tests/conformance/'],
    },
  ],
};
