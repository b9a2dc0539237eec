/** The major version that every test runs on; `npm ci` brings it. */
export const TESTED_NODE_MAJOR = 24;

/** One plain sentence when this is another Node than the tested one, else null. */
export function nodeVersionNotice(version: string = process.versions.node): string | null {
  const major = Number(version.split('.')[0]);
  if (major === TESTED_NODE_MAJOR) return null;
  return (
    `This is Node ${version}, but Innerglove is tested on Node ${TESTED_NODE_MAJOR} only. ` +
    'Start it through npm ("npm start"), which uses the Node that "npm ci" has installed.'
  );
}
