import { describe } from '@jest/globals';
import { rowSecurity } from './suites/row-security.js';

describe('row security', () => {
  rowSecurity();
});
