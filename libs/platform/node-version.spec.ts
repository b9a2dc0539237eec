import { describe, expect, it } from '@jest/globals';
import { nodeVersionNotice } from './node-version.js';

describe('the check of the Node version', () => {
  it('says nothing on the tested version', () => {
    expect(nodeVersionNotice('24.21.0')).toBeNull();
  });

  it.each(['20.20.2', '22.12.0', '25.0.0', '2.4.0'])('says plainly that %s is not the tested one', (version) => {
    expect(nodeVersionNotice(version)).toContain(`This is Node ${version}, but Innerglove is tested on Node 24 only.`);
  });
});
