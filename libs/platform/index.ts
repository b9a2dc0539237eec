export * from './config.js';
export * from './log.js';
export * from './node-version.js';
export * from './child-environment.js';
export * from './process-life.js';
