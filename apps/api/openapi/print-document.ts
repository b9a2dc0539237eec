import 'reflect-metadata';
import { describeWithoutDatabase } from './describe-without-database.js';

process.stdout.write(`${JSON.stringify(await describeWithoutDatabase(), null, 2)}\n`);
