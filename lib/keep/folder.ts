/** A flat folder of private storage, as little of it as keeping a log needs; the browser's, or one in memory for tests. */
export interface Folder {
  list(): Promise<readonly string[]>;
  /** The file as it stands; null where there is none of the name. */
  read(name: string): Promise<Blob | null>;
  /**
   * Writes a whole file in place of any of the name. Until it is done the old file may stand there, or none, or a part of
   * the new one: nothing may rest on a name that is being written.
   */
  write(name: string, content: Blob): Promise<void>;
  /** Gives a file a new name, which no other file has. */
  move(from: string, to: string): Promise<void>;
  /** Removes a file; one that is not there is none to remove. */
  remove(name: string): Promise<void>;
}
