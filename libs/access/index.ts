export * from './argon2-password-hasher.js';
export * from './random-session-tokens.js';
export * from './file-setup-tokens.js';
