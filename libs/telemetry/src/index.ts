/**
 * From the bytes of a message to readings: topic and payload mapping, time stamps, units, plausibility, and what could not be used and why.
 */
export type { Command, CommandRow, ConfigRow, JournalRow, LinkRow, MessageRow, NewJournalRow, TickRow } from './journal-row.js';
export type { Reading, ReadingNotUsed } from './reading.js';
