/** Path of a value inside a document: keys and indexes. */
export type Path = readonly (string | number)[];
