import { createTransport } from 'nodemailer';
import type { Config } from '../config/config';

/** A sender when a mail server is set, else null. */
export function smtpSender(
  config: Config,
): ((mail: { to: string; subject: string; text: string }) => Promise<void>) | null {
  if (!config.CHORDAE_SMTP_URL) return null;
  const transport = createTransport(config.CHORDAE_SMTP_URL);
  return async ({ to, subject, text }) => {
    await transport.sendMail({ from: config.CHORDAE_MAIL_FROM, to, subject, text });
  };
}
