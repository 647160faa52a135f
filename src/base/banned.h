/* banned.h - included before every file: functions that depend on the locale,
 * lose errors or cannot bound what they write are compile errors here. */
#ifndef BASE_BANNED_H
#define BASE_BANNED_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#pragma GCC poison strcpy strcat strncpy strncat sprintf vsprintf strtok strtok_r
#pragma GCC poison atoi atol atoll atof strtod strtof strtold setlocale gets tmpnam

#endif
