// Stops and removes a test server once no living process has used it for a while. Runs beside the tests, which end in
// their own order and some of them by a kill: none of them could be the one that tidies up.
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';

const [, , folder] = process.argv;
const PATIENCE = 20;

const lives = (pid) => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error.code === 'EPERM';
  }
};
const read = (path) => {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return '';
  }
};
const users = (at) => {
  try {
    return readdirSync(join(at, 'users')).some((name) => lives(Number.parseInt(name, 10)));
  } catch {
    return false;
  }
};

// One is enough.
const post = join(folder, 'tidying');
try {
  mkdirSync(post);
} catch {
  if (lives(Number(read(join(post, 'pid'))))) process.exit(0);
}
writeFileSync(join(post, 'pid'), String(process.pid));

for (let unused = 0; unused < PATIENCE;) {
  await sleep(1000);
  unused = users(folder) ? 0 : unused + 1;
}
const aside = `${folder}.removed-${process.pid}`;
renameSync(folder, aside);
if (users(aside)) {
  // Somebody came in the last moment.
  renameSync(aside, folder);
  rmSync(post, { recursive: true, force: true });
  process.exit(0);
}
const postmaster = Number(read(join(aside, 'cluster/postmaster.pid')).split('\n')[0]);
if (postmaster > 0 && lives(postmaster)) {
  process.kill(postmaster, 'SIGINT');
  for (let waited = 0; waited < 100 && lives(postmaster); waited += 1) await sleep(100);
}
rmSync(aside, { recursive: true, force: true });
