import { config } from '#platform';
import { SignOfLife } from './sign-of-life.js';

/** For a supervisor that asks by a command: 0 when the worker of this data folder has looked at the tables a moment ago. */
const fresh = await new SignOfLife(config().dataFolder).isFresh();
process.stdout.write(fresh ? 'The worker works.\n' : 'The worker has not looked at the tables lately.\n');
process.exitCode = fresh ? 0 : 1;
