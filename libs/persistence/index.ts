export {
  startEmbeddedDatabase,
  type EmbeddedDatabase,
  type EmbeddedDatabaseOptions,
  type SupervisorEvent,
} from './embedded/supervisor.js';
export { NoBinaries } from './embedded/binaries.js';
