import type { Clock } from './clock';
import type { Config } from './config/config';
import type { Database } from './db/database';
import type { Log } from './log';
import type { Storage } from './storage/storage';

/** What features may use. Built once by the app or the worker, passed down, never imported from the air. */
export interface Services {
  readonly config: Config;
  readonly clock: Clock;
  readonly db: Database;
  readonly storage: Storage;
  readonly log: Log;
}
