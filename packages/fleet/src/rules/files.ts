import type { RuleTable } from '@bedledger/diagnostics';

/** Folders and files as such, before anybody looks at what they say. */
export const FILE_RULES = {
  'fleet/empty': {
    severity: 'stop',
    title: 'there is no machine here',
    why: 'The command was probably started in another folder than the root of the fleet.',
    remedy: 'run the command in the root of a fleet, or start a machine with `bedledger new <id>`',
  },
  'fleet/unknown-machine': {
    severity: 'stop',
    title: 'the fleet has no machine of that name',
    why: 'Nothing can be done for a machine without a profile.',
    remedy: 'correct the name, or start the machine with `bedledger new <id>`',
  },
  'fleet/folder-name': {
    severity: 'stop',
    title: 'the folder of a machine has a name that is no identifier',
    why: 'The name stands in programs and file names, where other characters do harm.',
    remedy: 'rename the folder',
  },
  'fleet/reserved-name': {
    severity: 'stop',
    title: 'a machine has a name that some systems keep for devices',
    why: 'Windows takes con, nul, aux, prn, com1 to com9 and lpt1 to lpt9 for devices, whatever follows: the fleet could not even be checked out there.',
    remedy: 'give the machine another identifier',
  },
  'file/missing': {
    severity: 'stop',
    title: 'a file of a machine is missing',
    why: 'Profile, ledger and version must be there before anything is issued: an absent ledger is not an empty bed.',
    remedy: 'bring the file back',
  },
  'file/unreadable': {
    severity: 'stop',
    title: 'a file cannot be read',
    why: 'What it says may change where a cutter may go, so that nothing is issued without it.',
    remedy: 'check that it is a file and that you may read it',
  },
  'file/not-utf8': {
    severity: 'stop',
    title: 'a file is not UTF-8 text',
    why: 'Its characters could be read as others than those that were written.',
    remedy: 'save it as UTF-8',
  },
  'file/not-json': {
    severity: 'stop',
    title: "a machine's `package.json` is not JSON",
    why: "Its version is the revision on the machine's papers.",
    remedy: 'correct its syntax',
  },
  'file/version': {
    severity: 'stop',
    title: 'a machine has no version',
    why: 'Papers and programs at the machine are told apart by their revision.',
    remedy: 'give the machine a version: it is the revision on its papers',
  },
  'file/no-folder': {
    severity: 'stop',
    title: '`heights` is a file',
    why: 'Height maps are looked for in a folder of that name; the map would be passed over in silence.',
    remedy: 'give the file another name, or move the map into a folder `heights`',
  },
  'file/merge-markers': {
    severity: 'stop',
    title: 'a file holds the markers of an unfinished merge',
    why: 'Two people changed the same place and nobody decided yet: both versions stand in the file, between lines that begin with <<<<<<<, ======= and >>>>>>>. Which of them is so at the machine, only people know.',
    remedy: 'keep what is so at the machine, remove the marker lines, then commit',
  },
  'file/locked': {
    severity: 'stop',
    title: 'another command is writing this machine',
    why: 'Two commands that write one machine at the same time would mix their files. The second waits a moment; then it gives up and writes nothing.',
    remedy: 'let the other command end, then give this one again',
  },
  'yaml/too-large': {
    severity: 'stop',
    title: 'a YAML file is far too long',
    why: 'No file of a fleet is that long; it was written by a program that went wrong.',
    remedy: 'look what wrote the file, and shorten it',
  },
  'yaml/syntax': {
    severity: 'stop',
    title: 'a file is not plain YAML',
    why: 'A line that is read otherwise than it looks changes a figure without a word.',
    remedy: 'correct the line',
    follows: ['ledger/damaged'],
  },
  'yaml/alias': {
    severity: 'stop',
    title: 'a file uses YAML aliases',
    why: 'A value that is written elsewhere in the file is overlooked when it is changed.',
    remedy: 'write the value out',
  },
  'yaml/key': {
    severity: 'stop',
    title: 'a key is not a plain word',
    why: 'No file of a fleet has such keys.',
    remedy: 'write the key as a word',
  },
  'yaml/empty': {
    severity: 'stop',
    title: 'a file is empty',
    why: 'Its content was probably lost: an empty ledger says so with `facts: []`.',
    remedy: 'bring its content back',
  },
  'call/id': {
    severity: 'stop',
    title: 'a new machine was given a name that is no identifier',
    why: 'The name stands in programs and file names, where other characters do harm.',
    remedy: 'choose another one, for example `heron`',
  },
  'call/title': {
    severity: 'stop',
    title: 'a new machine was given a title that is not one line of text',
    why: 'The title stands in comments of programs and on papers.',
    remedy: 'write one line of text',
  },
} satisfies RuleTable;
