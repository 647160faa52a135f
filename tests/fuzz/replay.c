/* replay.c - runs a fuzz target over files and folders named on the command line,
 * so that every compiler replays the corpus without libFuzzer. */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int replay_file(const char *path)
{
	FILE *f = fopen(path, "rb");
	if (!f) {
		perror(path);
		return -1;
	}
	size_t cap = 1 << 22;
	uint8_t *data = malloc(cap);
	size_t n = data ? fread(data, 1, cap, f) : 0;
	int bad = !data || ferror(f);
	fclose(f);
	if (!bad) {
		/* An exact-size copy lets the sanitizers see a read past the end. */
		uint8_t *exact = malloc(n ? n : 1);
		if (exact) {
			if (n)
				memcpy(exact, data, n);
			LLVMFuzzerTestOneInput(exact, n);
		}
		free(exact);
	}
	free(data);
	return bad ? -1 : 1;
}

static int replay(const char *path)
{
	struct stat st;
	if (stat(path, &st) < 0 || !S_ISDIR(st.st_mode))
		return replay_file(path);
	DIR *dir = opendir(path);
	if (!dir) {
		perror(path);
		return -1;
	}
	int n = 0;
	for (struct dirent *e; n >= 0 && (e = readdir(dir));) {
		char file[4096];
		if (e->d_name[0] == '.')
			continue;
		snprintf(file, sizeof file, "%s/%s", path, e->d_name);
		n = replay_file(file) < 0 ? -1 : n + 1;
	}
	closedir(dir);
	return n;
}

int main(int argc, char **argv)
{
	int n = 0;
	for (int i = 1; i < argc; i++) {
		int k = replay(argv[i]);
		if (k < 0)
			return 1;
		n += k;
	}
	printf("%d passed, 0 failed\n", n);
	return n == 0;
}
