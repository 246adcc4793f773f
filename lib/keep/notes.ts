import { z } from 'zod';

/** What a person writes beside the trends: on which day, what, and which model it concerns. Text only. */

export const MOST_NOTE_LETTERS = 200;

const isDay = (text: string): boolean => {
  const moment = /^\d{4}-\d\d-\d\d$/.test(text) ? new Date(`${text}T00:00:00Z`) : null;
  return moment !== null && !Number.isNaN(moment.getTime()) && moment.toISOString().startsWith(text);
};
const plain = (most: number) =>
  z
    .string()
    .min(1)
    .max(most)
    .regex(/^\P{Cc}*$/u);

const fields = {
  on: z.string().refine(isDay, { message: 'no day' }),
  text: plain(MOST_NOTE_LETTERS),
  /** Null where it concerns every model. */
  model: plain(60).nullable(),
};
export const newNoteSchema = z.object(fields);
export type NewNote = z.infer<typeof newNoteSchema>;

export const notesSchema = z
  .array(z.object({ no: z.int().min(1), ...fields }))
  .max(10_000)
  .refine((notes) => new Set(notes.map(({ no }) => no)).size === notes.length, { message: 'a number stands twice' });
export type LogNote = z.infer<typeof notesSchema>[number];

/** The notes with one more, which gets the next number. */
export const withNote = (notes: readonly LogNote[], note: NewNote): readonly LogNote[] => [
  ...notes,
  { no: Math.max(0, ...notes.map(({ no }) => no)) + 1, ...note },
];

export const withoutNote = (notes: readonly LogNote[], no: number): readonly LogNote[] =>
  notes.filter((note) => note.no !== no);
