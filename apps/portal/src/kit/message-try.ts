import { uuidv7 } from '../host/uuid';

/** One message on its way: its id belongs to this text. */
export interface MessageTry {
  readonly id: string;
  readonly text: string;
}

/** The same text keeps its id, so that a lost reply does not write it twice; another text is another message. */
export function nextTry(last: MessageTry | null, text: string): MessageTry {
  return last?.text === text ? last : { id: uuidv7(), text };
}
