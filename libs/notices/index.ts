export * from './mail-transport.js';
export * from './smtp-transport.js';
export * from './send-notices.js';
